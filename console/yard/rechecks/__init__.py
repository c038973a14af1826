"""Blind re-checks: which pieces come back, and how often the first call was right."""
