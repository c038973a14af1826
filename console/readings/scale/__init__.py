"""A weight that a scale sends down a wire."""
