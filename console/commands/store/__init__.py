"""Commands about the store as a file."""
