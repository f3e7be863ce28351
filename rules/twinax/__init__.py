"""Twinax: direct copper cables and how long they may be."""
