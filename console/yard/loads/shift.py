"""How far the estimates of a bay lie off in one element, as settled loads have taught."""

import math
from collections.abc import Mapping
from dataclasses import dataclass

from grade_library.lots.blending import Blend


@dataclass(frozen=True, slots=True, kw_only=True)
class Shift:
    """What is added to an estimate, and how sure that is."""

    bay: str
    symbol: str
    loads: int
    """Settled loads that had metal of the bay."""
    found: float
    """Found less estimated, over those loads, each by the bay's share [wt %]."""
    before: float
    """Standard uncertainty of the bias before any load was settled [wt %]: what its loads had in common."""
    mean: float
    """Expected bias now [wt %]: `found`, shrunk towards nothing."""
    sigma: float
    """Standard uncertainty of it now [wt %]; at most `before`."""
    estimated: float
    """What was estimated of those loads [wt %]."""
    unread: float
    """Part of the metal in which nobody read the element, 0..1."""


def shifted(content: Blend, shifts: Mapping[str, Shift], symbol: str) -> Blend:
    """Return a content as it is expected after what settled loads taught; as it is where they taught nothing.

    What all metal of the bay has in common is known as much better as the bias is; what is independent from
    piece to piece stays.
    """
    shift = shifts.get(symbol)
    if shift is None:
        return content
    common = content.common * shift.sigma / shift.before
    return Blend(
        wt_pct=min(100.0, max(0.0, content.wt_pct + shift.mean)),
        sigma=math.hypot(content.own, common),
        common=common,
    )
