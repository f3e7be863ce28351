"""What moves with a figure of the demand: the price, what an amount buys, what a bill carries."""
