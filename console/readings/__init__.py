"""Readings as values and as files: symbols, CSV rows, mapping, what was taken."""
