"""Readings from files: looked for, waiting, put on the line, held by a piece."""
