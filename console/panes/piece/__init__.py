"""Panes that show the piece at hand."""
