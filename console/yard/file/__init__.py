"""yard.toml to checked records."""
