"""Pages that tell keys and words."""
