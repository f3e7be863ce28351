"""Properties that hold for every catalog and demand."""
