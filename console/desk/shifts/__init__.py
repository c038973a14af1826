"""From one person and one run to the next."""
