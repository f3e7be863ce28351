"""Rules about which way the air blows."""
