"""Down the wire: what the office says to its yards, signed; pulled, checked and kept by the terminals."""
