"""What leaves the yard: bales by their tags, and what could be sold now."""
