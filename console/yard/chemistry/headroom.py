"""How far a bay is from its buyer's limits, and how much of a grade it can still take."""

import functools
import math
from dataclasses import dataclass

import numpy as np

from console.yard.chemistry.composition import BaySums, Content
from console.yard.yard import Bay
from grade_library.library import GradeLibrary
from grade_library.loading.notation import write_limit
from grade_library.lots.blending import Blend, room_above, room_below
from grade_library.normal import normal_cdf

USUAL_CONFIDENCE = 0.95
"""Confidence with which a bay should keep its buyer's limits."""
PURITY_FROM = 50.0
"""A lower limit from here on is one of purity: what is told is how much else may lie beside it [wt %]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitState:
    """One limit of the buyer against the bay as it stands."""

    symbol: str
    limit: str
    """As yard.toml writes it: "<=0.4"."""
    content: Blend
    chance_kept: float
    """Probability that the bay keeps the limit, 0..1."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BayChemistry:
    """A bay as a melt in the making."""

    bay: Bay
    mass_g: float
    pieces: float
    refused_share: float
    """Expected part of the weight that the buyer would not take, 0..1."""
    composition: dict[str, Blend]
    """Every element [wt %]; empty for an empty bay."""
    limits: tuple[LimitState, ...]
    """In the order of yard.toml."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Headroom:
    """How much of a grade a bay can still take."""

    mass_g: float
    """[g]; inf where the grade never brings it over a limit."""
    symbol: str
    """The element that gives out first; empty where none does."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TightestLimit:
    """The limit of the buyer that a bay is nearest to, or furthest beyond."""

    symbol: str
    used: float
    """How much of the limit is used up with the uncertainty of the content, 1 = all of it; may be inf.

    Of "at most" and of "at least" for an alloying element the ratio of content and limit; of "at least" for a
    base metal, PURITY_FROM and more, the share of other metal that is allowed."""
    is_broken: bool
    """The content itself, and not only its uncertainty, lies beyond the limit."""


def tightest_limit(bay: Bay, sums: BaySums, confidence: float = USUAL_CONFIDENCE) -> TightestLimit | None:
    """Return the limit that gives out first; None for an empty bay and one without limits.

    Args:
        bay: With the limits of its buyer.
        sums: What lies there.
        confidence: With which the limits shall be kept, 0.5 to below 1.
    """
    if not bay.chemistry or sums.mass_g <= 0.0:
        return None
    here, k = sums.composition(), coverage(confidence)
    nothing = Blend(wt_pct=0.0, sigma=0.0)
    found = []
    for symbol, limit in bay.chemistry.items():
        content = here.get(symbol, nothing)
        if limit.high is not None:
            most = content.wt_pct + k * content.sigma
            found.append(
                TightestLimit(
                    symbol=symbol, used=_ratio(most, limit.high), is_broken=content.wt_pct > limit.high
                )
            )
        if limit.low is not None:
            least = content.wt_pct - k * content.sigma
            found.append(
                TightestLimit(
                    symbol=symbol, used=_used_of_low(least, limit.low), is_broken=content.wt_pct < limit.low
                )
            )
    return max(found, key=lambda one: (one.is_broken, one.used), default=None)


def _used_of_low(least: float, low: float) -> float:
    if low >= PURITY_FROM:
        return _ratio(100.0 - least, 100.0 - low)
    return _ratio(low, least)


def _ratio(part: float, whole: float) -> float:
    if part <= 0.0:
        return 0.0
    return part / whole if whole > 0.0 else math.inf


def bay_chemistry(bay: Bay, sums: BaySums) -> BayChemistry:
    """Return the composition of a bay and where it stands with its buyer's limits."""
    composition = sums.composition()
    states = []
    for symbol, limit in bay.chemistry.items():
        if composition:
            content = composition[symbol] if symbol in composition else Blend(wt_pct=0.0, sigma=0.0)
            kept = _chance_kept(content, limit.low, limit.high)
            states.append(
                LimitState(symbol=symbol, limit=write_limit(limit), content=content, chance_kept=kept)
            )
    return BayChemistry(
        bay=bay,
        mass_g=sums.mass_g,
        pieces=sums.pieces,
        refused_share=sums.refused_g / sums.mass_g if sums.mass_g > 0.0 else 0.0,
        composition=composition,
        limits=tuple(states),
    )


def _chance_kept(content: Blend, low: float | None, high: float | None) -> float:
    sigma = max(content.sigma, 1e-9)
    below = 1.0 if high is None else _cdf((high - content.wt_pct) / sigma)
    under = 0.0 if low is None else _cdf((low - content.wt_pct) / sigma)
    return max(0.0, below - under)


def nearness(bay: Bay, state: LimitState, confidence: float = USUAL_CONFIDENCE) -> float:
    """Return how much of a limit is used up, with the uncertainty of a one-sided confidence in it.

    1 at the limit, more beyond it. For a least content it is the limit over the content; of the main metal,
    everything else over what else is allowed. The larger one counts where there are both.

    Args:
        bay: With the limits of its buyer.
        state: One of them, as the bay stands.
        confidence: 0.5 to below 1.
    """
    limit, content = bay.chemistry[state.symbol], state.content
    margin = coverage(confidence) * content.sigma
    used = [0.0]
    if limit.high is not None:
        used.append((content.wt_pct + margin) / limit.high if limit.high > 0.0 else math.inf)
    if limit.low is not None and limit.low > 0.0:
        least = content.wt_pct - margin
        if 50.0 <= limit.low < 100.0:
            used.append((100.0 - least) / (100.0 - limit.low))
        else:
            used.append(limit.low / least if least > 0.0 else math.inf)
    return max(used)


def _cdf(z: float) -> float:
    return float(normal_cdf(np.array([z]))[0])


@functools.lru_cache(maxsize=16)
def coverage(confidence: float) -> float:
    """Return k, how many standard uncertainties a one-sided confidence asks for.

    >>> round(coverage(0.95), 3)
    1.645
    """
    low, high = -8.0, 8.0
    for _ in range(60):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if _cdf(middle) < confidence else (low, middle)
    return 0.5 * (low + high)


def headroom(
    bay: Bay, sums: BaySums, grade_id: str, library: GradeLibrary, confidence: float = USUAL_CONFIDENCE
) -> Headroom:
    """Return how much of one grade the bay can still take before a limit is at risk.

    Args:
        bay: With the limits of its buyer.
        sums: What lies there.
        grade_id: Of the metal that would be added, taken as one melt whose content may lie anywhere in its
            limits.
        library: The grades.
        confidence: With which the limits shall be kept, 0.5 to below 1.
    """
    added = BaySums.empty(library).plus(Content(mass_g=1.0, shares={grade_id: 1.0})).composition()
    return _room(bay, sums, added, confidence)


def _room(bay: Bay, sums: BaySums, added: dict[str, Blend], confidence: float) -> Headroom:
    nothing = Blend(wt_pct=0.0, sigma=0.0)
    here = sums.composition()
    k = coverage(confidence)
    least = Headroom(mass_g=math.inf, symbol="")
    for symbol, limit in bay.chemistry.items():
        content, more = here.get(symbol, nothing), added.get(symbol, nothing)
        rooms = []
        if limit.high is not None:
            rooms.append(room_below(sums.mass_g, content, limit.high, more, k))
        if limit.low is not None:
            rooms.append(room_above(sums.mass_g, content, limit.low, more, k))
        if rooms and min(rooms) < least.mass_g:
            least = Headroom(mass_g=min(rooms), symbol=symbol)
    return least


def warning_before(bay: Bay, sums: BaySums, content: Content, confidence: float = USUAL_CONFIDENCE) -> str:
    """Return what would go wrong with a bay if a piece were tallied into it; empty when nothing would.

    Args:
        bay: Where it would go.
        sums: What lies there now.
        content: The piece.
        confidence: With which the limits shall be kept.
    """
    if not bay.chemistry:
        return ""
    own = sums.means_of(content)
    # Metal that keeps the limit itself spoils nothing, however little is known of it.
    above = {s: limit.high for s, limit in bay.chemistry.items() if _is_above(own.get(s), limit.high)}
    below = {s: limit.low for s, limit in bay.chemistry.items() if _is_above(limit.low, own.get(s))}
    if not above and not below:
        return ""
    k = coverage(confidence)
    before, after = sums.composition(), sums.plus(content).composition()
    for symbol in bay.chemistry:
        now, was = after.get(symbol), before.get(symbol)
        if now is None:
            continue
        if _is_above(now.wt_pct + k * now.sigma, above.get(symbol)):
            return _said(bay, symbol, f"at most {above[symbol]:g}", was, now, sums.mass_g)
        if _is_above(below.get(symbol), now.wt_pct - k * now.sigma):
            return _said(bay, symbol, f"at least {below[symbol]:g}", was, now, sums.mass_g)
    return ""


def _is_above(one: float | None, other: float | None) -> bool:
    return one is not None and other is not None and one > other


def _said(bay: Bay, symbol: str, limit: str, was: Blend | None, now: Blend, mass_g: float) -> str:
    start = f"from {was.wt_pct:.2f} " if was is not None and mass_g > 0.0 else ""
    return (
        f"{bay.code}: {symbol} would go {start}to {now.wt_pct:.2f} ± {now.sigma:.2f} %, buyer takes {limit}"
    )
