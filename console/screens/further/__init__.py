"""Screens and pages that open over the sorting screen."""
