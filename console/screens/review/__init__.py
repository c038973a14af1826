"""Looking over the pieces of a run, and mending them."""
