"""What a thing can be said to be of instead of metal."""

NO_METAL = frozenset(
    {
        *("wood", "plastic", "rubber", "glass", "concrete", "stone", "ceramic", "paper", "textile"),
        "carbon fibre",
    }
)
"""Ids of the materials that are no metal."""
