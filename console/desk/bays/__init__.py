"""What lies in the bays, and what is taken out of them."""
