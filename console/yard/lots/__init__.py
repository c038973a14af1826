"""Lots that are said to be all one metal."""
