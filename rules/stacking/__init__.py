"""Rules about how units are joined into one stack."""
