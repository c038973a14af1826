"""Papers of a consignment: each a few lines that make one record, drawn as text, HTML and JSON."""
