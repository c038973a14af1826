"""From a line to what the piece is, where it should go, and what is kept of it."""
