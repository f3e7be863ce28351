"""The answer on paper: as tables for a terminal, as JSON, as CSV."""
