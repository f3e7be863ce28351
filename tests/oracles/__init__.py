"""Oracles: slow, plain, independent ways to the same answers, and seeded worlds to compare them on."""
