"""Demo data: an invented maker's catalog and price list, and an invented customer's demands."""
