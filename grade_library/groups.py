"""What a yard says of a metal at first glance."""

GROUPS = (
    "aluminium",
    "magnesium",
    "titanium",
    "zinc",
    "lead",
    "tin",
    "copper",
    "brass",
    "bronze",
    "nickel silver",
    "cupronickel",
    "stainless",
    "steel",
    "tool steel",
    "cast iron",
    "nickel",
    "cobalt",
    "refractory",
    "precious",
    "brazing",
    "magnet",
    "carbide",
)
"""Every grade belongs to one group."""
