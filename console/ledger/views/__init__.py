"""What the rows add up to."""
