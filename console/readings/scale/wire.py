"""How a scale is wired up, and how what it sends is written."""

from dataclasses import dataclass
from enum import StrEnum

from console.ground.errors import BaywrightError

GROUPS = ("weight", "unit", "stable")
"""Names of the groups that a pattern may have; `weight` must be there."""
LONGEST_PATTERN = 200
"""Characters; what a scale sends takes far fewer (own choice)."""


class ScaleTrouble(BaywrightError):  # noqa: N818 - reads as a claim
    """The scale gave no weight; the message says why, and what to do, in one line."""


class Parity(StrEnum):
    """The check bit of each byte."""

    NONE = "none"
    EVEN = "even"
    ODD = "odd"


@dataclass(frozen=True, slots=True, kw_only=True)
class ScaleWire:
    """Port, its settings, and the one pattern that reads a line of the scale."""

    port: str
    """Device or name of the port, such as "/dev/ttyUSB0" or "COM3"."""
    pattern: str
    """Regular expression with the groups weight, and where it sends them unit and stable."""
    baud: int = 9600
    bits: int = 8
    parity: Parity = Parity.NONE
    stop_bits: int = 1
    unit: str = ""
    """Unit as shown (a key of UNITS_G) that every weight has; empty where the pattern reads the unit."""
    decimal: str = "point"
    """ "point" or "comma": what stands before the decimals."""
    ask: str = ""
    """What the scale wants to be sent before it answers; empty where it sends all the time."""
    wait_s: float = 3.0
    """How long a steady weight is waited for [s]."""
