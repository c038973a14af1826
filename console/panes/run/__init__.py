"""Panes that show the run."""
