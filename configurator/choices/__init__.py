"""What else could be bought, what it would cost, and when it would pay."""
