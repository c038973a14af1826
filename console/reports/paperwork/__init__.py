"""Sheets for others: the office, the supplier, the buyer of a bale."""
