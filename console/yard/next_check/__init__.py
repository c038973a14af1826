"""Which check to make next on a piece, and what it would gain."""
