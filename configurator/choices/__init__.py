"""What else the same demand could be met with, and what more money buys."""
