"""Consignments: what goes to one buyer at one time, as rows that are only ever added."""
