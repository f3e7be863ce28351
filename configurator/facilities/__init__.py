"""What a build asks of its room: watts, amperes, heat, circuits, rack units, positions."""
