"""What the desk says when an act cannot be done."""

from console.ground.errors import BaywrightError


class DeskRefusal(BaywrightError):  # noqa: N818 - not a fault of the program
    """The act cannot be done now; the message says why and what would be right. Nothing was written."""
