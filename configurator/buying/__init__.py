"""How an order is bought: bundles or base units, at which price that changes, a part now or later."""
