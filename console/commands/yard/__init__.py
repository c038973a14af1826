"""Commands about the yard: its file, bays, grades, what it learned, the office."""
