"""Weights, counts and measured values on an entry line."""
