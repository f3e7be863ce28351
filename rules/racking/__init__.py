"""Rules about what holds a unit in its rack, and what the rack still takes."""
