"""Rules about the room: its air, its altitude, its quiet, and the power it has."""
