"""Why no weight came from the scale."""

from console.ground.errors import BaywrightError


class ScaleTrouble(BaywrightError):  # noqa: N818 - reads as a claim
    """The scale gave no weight; the message says why, and what to do, in one line."""
