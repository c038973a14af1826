"""Consignments at the desk: what goes in, the seal, the papers, what the buyer found."""
