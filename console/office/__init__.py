"""The office: rows of many terminals in one PostgreSQL, and what they add up to."""
