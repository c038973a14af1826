"""The best sale: what goes to whom, within every limit, for the most money."""
