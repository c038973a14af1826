"""The store as a file: opening, locking, copying, verifying, saving."""
