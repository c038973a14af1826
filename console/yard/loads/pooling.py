"""What a load of several parts is made of: own uncertainties average, what they share is carried whole."""

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from console.yard.chemistry.bale import LEAST_SHOWN_WT_PCT
from grade_library.lots.blending import Blend

UNNAMED = Blend(
    wt_pct=0.5 * LEAST_SHOWN_WT_PCT,
    sigma=LEAST_SHOWN_WT_PCT / math.sqrt(12.0),
    common=LEAST_SHOWN_WT_PCT / math.sqrt(12.0),
)
"""An element that a bale does not name: anything from nothing to what would have been written on it, evenly
distributed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadPart:
    """One bale, box or loose amount of a load."""

    name: str
    """Its tag, or the bay of a loose amount."""
    mass_g: int
    """[g], > 0."""
    contents: Mapping[str, Blend]
    """Symbol -> content [wt %]; empty where nothing is known of what it is made of."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pool:
    """The sums from which the composition of a load follows; a part is taken out of them at once."""

    mass_g: float = 0.0
    weighted: Mapping[str, float] = field(default_factory=dict)
    """Σ m·c of each element [g·wt %]."""
    own: Mapping[str, float] = field(default_factory=dict)
    """Σ m²·u², independent from part to part."""
    common: Mapping[str, float] = field(default_factory=dict)
    """Σ m·u of what all parts share: the bias of the analyser, and of the melts of a grade. Adding the latter
    of different grades too is the careful side."""

    def without(self, part: LoadPart) -> "Pool":
        """Return the sums as if a part had not been put in."""
        return _added(self, part, -1.0)

    def composition(self) -> dict[str, Blend]:
        """Return every element of the load with its standard uncertainty [wt %]; empty for an empty one.

        Weighing adds nothing that counts beside the uncertainty of the composition, so it is left out.

        Source: law of propagation of uncertainty for Σ m·c / Σ m (JCGM 100:2008, 5.1.2 and 5.2.2; clause
            numbers from memory), with correlation 1 between what the parts share.
        """
        if self.mass_g <= 0.0:
            return {}
        found = {}
        for symbol, weighted in self.weighted.items():
            common = max(0.0, self.common[symbol]) / self.mass_g
            own = math.sqrt(max(0.0, self.own[symbol])) / self.mass_g
            found[symbol] = Blend(
                wt_pct=max(0.0, weighted / self.mass_g), sigma=math.hypot(own, common), common=common
            )
        return found


def pool(parts: Iterable[LoadPart], also: Iterable[str] = ()) -> Pool:
    """Return the sums of parts of which the composition is known.

    Args:
        parts: None of them unknown.
        also: Elements that are asked for, whether or not a part names them.
    """
    known = list(parts)
    symbols = {symbol for part in known for symbol in part.contents} | set(also)
    zero = dict.fromkeys(sorted(symbols), 0.0)
    pooled = Pool(weighted=zero, own=zero, common=zero)
    for part in known:
        pooled = _added(pooled, part, 1.0)
    return pooled


def _added(before: Pool, part: LoadPart, times: float) -> Pool:
    weighted, own, common = dict(before.weighted), dict(before.own), dict(before.common)
    for symbol in weighted:
        content = part.contents.get(symbol, UNNAMED)
        weighted[symbol] += times * part.mass_g * content.wt_pct
        own[symbol] += times * (part.mass_g * content.own) ** 2
        common[symbol] += times * part.mass_g * content.common
    mass_g = before.mass_g + times * part.mass_g
    return Pool(mass_g=mass_g, weighted=weighted, own=own, common=common)
