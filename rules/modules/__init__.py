"""Modules, optics and cables: what goes into slots and ports, and how far it carries."""
