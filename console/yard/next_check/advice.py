"""What to do next with a piece: the checks that could be made, what each gains, and the one worth making."""

from collections.abc import Sequence
from dataclasses import dataclass

from console.yard.next_check.checks import YardCheck


@dataclass(frozen=True, slots=True, kw_only=True)
class Meaning:
    """What some findings of a check would mean."""

    finding: str
    """As a sorter would see it: "yellow or golden", "below 7.95 g/cm3", "Mo above 1.1"; empty for a reading
    that no single element settles."""
    bay_code: str
    """Where the piece would then go."""
    is_hold: bool
    """The piece would stay open."""
    chance: float
    """Of these findings, 0..1."""
    settles: bool = False
    """Every finding means this bay, and these would settle it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckWorth:
    """One check on this piece."""

    check: YardCheck
    gain: float
    """Expected gain in worth [currency] for the whole entry, before its cost."""
    cost: float
    """Time and material [currency]."""
    meanings: Sequence[Meaning] = ()
    """What to look for, likeliest bay first; worked out when somebody asks."""
    ruled_out: str = ""
    """Why it is not proposed whatever it gains; empty when it may be."""

    @property
    def net(self) -> float:
        """Gain less cost [currency]."""
        return self.gain - self.cost


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckAdvice:
    """Which check to make next, if any."""

    best: CheckWorth | None
    """None when no check pays."""
    line: str
    """What to do and what to look for, in one line."""
    tally_bay: str
    """Code of the bay to tally the piece into without a further check: where it goes now, or, for a piece on
    hold whose second look would cost more than it gains, the bay where it is worth most as it is."""
    ranked: Sequence[CheckWorth]
    """Every check that can still show something, by net gain, those ruled out last; worked out when somebody
    asks."""
