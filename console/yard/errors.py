"""What can be wrong with a yard's folder, said so that a person can mend it."""

from console.ground.errors import BaywrightError


class YardFileError(BaywrightError):
    """yard.toml is missing or wrong; the message names file, bay and key, and what would be right."""
