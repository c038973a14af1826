"""Which bay a piece should go to, and what rules a bay out."""
