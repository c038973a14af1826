"""How many pieces prove a lot, and what a blend of metal is."""
