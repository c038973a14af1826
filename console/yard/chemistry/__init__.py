"""What a bay is made of, and how far it is from its limits."""
