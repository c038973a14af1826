"""What metal was worth, and when: prices as rows of the ledger."""
