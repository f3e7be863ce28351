"""Ordering: what is ordered is complete, priced, sold and there in time."""
