"""Rules about support contracts."""
