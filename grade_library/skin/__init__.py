"""Is this reading of the skin or of the core? Coatings, hypotheses, series of shots."""
