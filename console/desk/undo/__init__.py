"""Which act comes next to be taken back, and the row that does it."""
