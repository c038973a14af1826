"""Acts that write rows, with their checks."""
