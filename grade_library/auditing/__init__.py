"""What an audit of the library looks at."""
