"""A weight from a wired scale onto the line."""
