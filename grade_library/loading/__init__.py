"""From TOML files to checked grades: readers, sources, cache, the yard's own grades."""
