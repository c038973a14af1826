"""The one table: its rows, their ids, their chain, how they are read."""
