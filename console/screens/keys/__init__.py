"""Which keys every screen answers to, and how a yard has others."""
