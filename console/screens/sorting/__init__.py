"""The screen a shift is worked on, and the parts it is made of."""
