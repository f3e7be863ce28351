"""From one stack's demand to its cheapest build, and from stacks to the order: columns, model, placing, proof."""
