"""What speaks for and against a candidate, in words."""
