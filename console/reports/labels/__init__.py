"""Tags and signs with a code that a scanner types on the entry line."""
