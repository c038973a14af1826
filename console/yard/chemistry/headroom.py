"""How far a bay is from its buyer's limits, and how much of a grade it can still take."""

import math
from dataclasses import dataclass
from enum import StrEnum
from statistics import NormalDist

from console.ground.figures import with_sigma
from console.yard.chemistry.composition import BaySums
from console.yard.chemistry.content import Content
from console.yard.loads.shift import shifted
from console.yard.yard import Bay, Thresholds
from grade_library.grade import Limit
from grade_library.library import GradeLibrary
from grade_library.loading.notation import write_limit
from grade_library.lots.blending import Blend, room_above, room_below
from grade_library.lots.skewed import chance_above

USUAL = Thresholds()
MORE_LIKELY_THAN_NOT = 0.5
PURITY_FROM = 50.0
"""A lower limit from here on is one of purity: what is told is how much else may lie beside it [wt %]."""
LEAST_TOLD_WT_PCT = 0.02
"""Of an element without a limit [wt %]."""
_NOTHING = Blend(wt_pct=0.0, sigma=0.0)


class Standing(StrEnum):
    """How a bay stands with one limit of its buyer."""

    KEPT = "kept"
    AT_RISK = "at risk"
    """The chance of being over it has passed the yard's threshold."""
    BROKEN = "broken"
    """More likely over it than not."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitState:
    """One limit of the buyer against the bay as it stands."""

    symbol: str
    limit: str
    """As yard.toml writes it: "<=0.4"."""
    content: Blend
    chance_kept: float
    """Probability that the bay keeps the limit, 0..1."""
    used: float = 0.0
    """How much of the limit is used up by the content, 1 = all of it; may be inf.

    Of "at most" and of "at least" for an alloying element the ratio of content and limit; of "at least" for a
    base metal, PURITY_FROM and more, the share of other metal that is allowed."""

    def standing(self, thresholds: Thresholds = USUAL) -> Standing:
        """Return how the bay stands with the limit, by the yard's idea of a risk."""
        over = 1.0 - self.chance_kept
        if over > MORE_LIKELY_THAN_NOT:
            return Standing.BROKEN
        return Standing.AT_RISK if over > thresholds.at_risk else Standing.KEPT


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

    def beside_limits(self) -> list[str]:
        """Return the elements that no limit names, the most first, those worth telling: "Fe 0.31±0.08"."""
        named = {state.symbol for state in self.limits}
        by_content = sorted(self.composition.items(), key=lambda item: -item[1].wt_pct)
        return [
            f"{symbol} {with_sigma(one.wt_pct, one.sigma).replace(' ± ', '±')}"
            for symbol, one in by_content
            if symbol not in named and one.wt_pct >= LEAST_TOLD_WT_PCT
        ]

    def says_nothing(self, thresholds: Thresholds = USUAL) -> bool:
        """Return True for a bay too small to matter: the next pieces decide what it will be."""
        return self.mass_g < thresholds.small_bay_g


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
    """As `LimitState.used`."""
    is_broken: bool
    """More likely over it than not."""
    is_at_risk: bool = False
    """The chance of being over it has passed the yard's threshold."""


def tightest_limit(bay: Bay, sums: BaySums, thresholds: Thresholds = USUAL) -> TightestLimit | None:
    """Return the limit that gives out first; None without limits, or with too little there to matter.

    Args:
        bay: With the limits of its buyer.
        sums: What lies there.
        thresholds: What counts as a risk, and as too little.
    """
    chemistry = bay_chemistry(bay, sums)
    if not chemistry.limits or chemistry.says_nothing(thresholds):
        return None
    rank = list(Standing).index
    worst = max(chemistry.limits, key=lambda one: (rank(one.standing(thresholds)), one.used))
    standing = worst.standing(thresholds)
    return TightestLimit(
        symbol=worst.symbol,
        used=worst.used,
        is_broken=standing is Standing.BROKEN,
        is_at_risk=standing is not Standing.KEPT,
    )


def bay_chemistry(bay: Bay, sums: BaySums) -> BayChemistry:
    """Return the composition of a bay and where it stands with its buyer's limits.

    The composition is what the pieces say. What settled loads taught of the bay counts in the limits alone:
    the next settlement is held against what was estimated.
    """
    composition = sums.composition()
    return BayChemistry(
        bay=bay,
        mass_g=sums.mass_g,
        pieces=sums.pieces,
        refused_share=sums.refused_g / sums.mass_g if sums.mass_g > 0.0 else 0.0,
        composition=composition,
        limits=tuple(
            _state(symbol, limit, shifted(composition.get(symbol, _NOTHING), bay.learned, symbol))
            for symbol, limit in bay.chemistry.items()
            if composition
        ),
    )


def _state(symbol: str, limit: Limit, content: Blend) -> LimitState:
    return LimitState(
        symbol=symbol,
        limit=write_limit(limit),
        content=content,
        chance_kept=chance_kept(content, limit),
        used=_used(content, limit),
    )


def chance_kept(content: Blend, limit: Limit) -> float:
    """Return the probability that a content keeps a limit.

    What nobody read is what the melts of the metal usually hold, and that is skewed: most hold little, few
    hold much. Whichever is less, the element or all the rest, is taken as gamma distributed.
    """
    over = 0.0 if limit.high is None else _above(content, limit.high)
    under = 0.0 if limit.low is None else 1.0 - _above(content, limit.low)
    return min(1.0, max(0.0, 1.0 - over - under))


def _above(content: Blend, limit: float) -> float:
    if content.sigma <= 0.0:
        return 1.0 if content.wt_pct > limit else 0.0
    if content.wt_pct <= PURITY_FROM:
        return chance_above(limit, content.wt_pct, content.sigma)
    return 1.0 - chance_above(100.0 - limit, 100.0 - content.wt_pct, content.sigma)


def _used(content: Blend, limit: Limit) -> float:
    used = [0.0]
    if limit.high is not None:
        used.append(_ratio(content.wt_pct, limit.high))
    if limit.low is not None and limit.low >= PURITY_FROM:
        used.append(_ratio(100.0 - content.wt_pct, 100.0 - limit.low))
    elif limit.low is not None:
        used.append(_ratio(limit.low, content.wt_pct))
    return max(used)


def _ratio(part: float, whole: float) -> float:
    if part <= 0.0:
        return 0.0
    return part / whole if whole > 0.0 else math.inf


def coverage(confidence: float) -> float:
    """Return k, how many standard uncertainties a one-sided confidence asks for.

    >>> round(coverage(0.95), 3)
    1.645
    """
    return NormalDist().inv_cdf(confidence)


def headroom(
    bay: Bay, sums: BaySums, grade_id: str, library: GradeLibrary, thresholds: Thresholds = USUAL
) -> Headroom:
    """Return how much of one grade the bay can still take before a limit is at risk.

    Args:
        bay: With the limits of its buyer.
        sums: What lies there.
        grade_id: Of the metal that would be added, taken as one melt whose content may lie anywhere in its
            limits.
        library: The grades.
        thresholds: What counts as a risk.
    """
    added = BaySums.empty(library).plus(Content(mass_g=1.0, shares={grade_id: 1.0})).composition()
    here, k = sums.composition(), coverage(1.0 - thresholds.at_risk)
    least = Headroom(mass_g=math.inf, symbol="")
    for symbol, limit in bay.chemistry.items():
        content = shifted(here.get(symbol, _NOTHING), bay.learned, symbol)
        more = added.get(symbol, _NOTHING)
        rooms = []
        if limit.high is not None:
            rooms.append(room_below(sums.mass_g, content, limit.high, more, k))
        if limit.low is not None:
            rooms.append(room_above(sums.mass_g, content, limit.low, more, k))
        if rooms and min(rooms) < least.mass_g:
            least = Headroom(mass_g=min(rooms), symbol=symbol)
    return least


def warning_before(bay: Bay, sums: BaySums, content: Content, thresholds: Thresholds = USUAL) -> str:
    """Return what would go wrong with a bay if a piece were tallied into it; empty when nothing would.

    Metal that keeps a limit itself spoils nothing, however little is known of it; a bay that stays too small
    to matter says nothing.

    Args:
        bay: Where it would go.
        sums: What lies there now.
        content: The piece.
        thresholds: What counts as a risk, and as too little.
    """
    if not bay.chemistry:
        return ""
    own = sums.means_of(content)
    spoilt = {s: limit for s, limit in bay.chemistry.items() if s in own and not _keeps(own[s], limit)}
    if not spoilt:
        return ""
    after = bay_chemistry(bay, sums.plus(content))
    if after.says_nothing(thresholds):
        return ""
    was = {state.symbol: state for state in bay_chemistry(bay, sums).limits}
    for state in after.limits:
        if state.symbol in spoilt and state.standing(thresholds) is not Standing.KEPT:
            return _said(bay, state, spoilt[state.symbol], was.get(state.symbol), own[state.symbol])
    return ""


def _keeps(wt_pct: float, limit: Limit) -> bool:
    return not (
        (limit.high is not None and wt_pct > limit.high) or (limit.low is not None and wt_pct < limit.low)
    )


def _said(bay: Bay, state: LimitState, limit: Limit, was: LimitState | None, own: float) -> str:
    start = f"from {was.content.wt_pct:.2f} " if was is not None else ""
    is_over = limit.high is not None and own > limit.high
    words = f"<={limit.high:g}" if is_over else f">={limit.low:g}"
    now = state.content
    return (
        f"{bay.code}: {state.symbol} would go {start}to {now.wt_pct:.2f} ± {now.sigma:.2f} %, "
        f"buyer takes {words}"
    )
