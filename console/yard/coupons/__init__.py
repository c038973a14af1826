"""Check samples: whether the analyser may be believed."""
