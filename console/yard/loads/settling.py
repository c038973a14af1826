"""What the buyer found of a load against what was estimated, and what that comes to over many loads."""

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from console.yard.loads.load_sheet import LoadSheet
from console.yard.loads.pooling import UNNAMED
from grade_library.technique import Profile

ANALYSIS = "lab"
"""Technique whose uncertainty stands for that of the buyer's analysis: he seldom says his own."""
REMARKABLE = 2.0
"""Differences from so many standard uncertainties on are told: one in twenty by chance (common practice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """What the buyer found; None and empty for what he does not say."""

    net_g: int | None = None
    wt_pct: Mapping[str, float] = field(default_factory=dict)
    """Symbol -> his analysis [wt %]."""
    yield_pct: float | None = None
    """Metal out of the furnace [% of the net weight]."""
    paid_cents: int | None = None
    """[hundredths of the currency of the sheet]"""
    lost_cents: int | None = None
    """What a downgrade took off, said by him [hundredths]."""
    words: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """One element of one load: found less estimated."""

    symbol: str
    estimated: float
    found: float
    own: float
    """Standard uncertainty of the difference, independent from load to load [wt %]."""
    common: float
    """What all loads share of it [wt %]."""

    @property
    def value(self) -> float:
        """Found less estimated [wt %]."""
        return self.found - self.estimated

    @property
    def sigma(self) -> float:
        """Standard uncertainty of the difference [wt %]."""
        return math.hypot(self.own, self.common)

    @property
    def z(self) -> float:
        """The difference in standard uncertainties."""
        return self.value / self.sigma if self.sigma > 0.0 else math.copysign(math.inf, self.value)


@dataclass(frozen=True, slots=True, kw_only=True)
class Settled:
    """A load that was settled."""

    tag: str
    day: str
    """When the finding was entered: "2026-03-14"."""
    sheet: LoadSheet
    finding: Finding
    differences: tuple[Difference, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Bias:
    """How far the estimates of a bay lie off in one element, over its loads."""

    bay: str
    symbol: str
    loads: int
    mean: float
    """Found less estimated, each load counting by the bay's share of it [wt %]."""
    sigma: float
    """Standard uncertainty of the mean [wt %]; what all loads share does not average away."""
    over_time: tuple[float, ...]
    """The differences of its loads, oldest first."""

    @property
    def is_remarkable(self) -> bool:
        """Whether chance alone seldom comes so far."""
        return abs(self.mean) > REMARKABLE * self.sigma


def differences(
    sheet: LoadSheet, finding: Finding, techniques: Mapping[str, Profile]
) -> tuple[Difference, ...]:
    """Return every element that the buyer analysed against the estimate; none where nothing was estimated.

    Args:
        sheet: The load as it was sealed.
        finding: What he found.
        techniques: For the uncertainty of his analysis.
    """
    if not sheet.composition:
        return ()
    lab = techniques[ANALYSIS]
    found = []
    for symbol, value in finding.wt_pct.items():
        estimate = sheet.composition.get(symbol, UNNAMED)
        found.append(
            Difference(
                symbol=symbol,
                estimated=estimate.wt_pct,
                found=value,
                own=math.hypot(estimate.own, lab.sigma(symbol, value)),
                common=estimate.common,
            )
        )
    return tuple(found)


def biases(settled: Iterable[Settled]) -> list[Bias]:
    """Return the bias of every bay and element, those that are remarkable first.

    A load of several bays counts for each by its share of the weight, since nobody knows which bay's metal
    was off.

    Args:
        settled: Oldest first.
    """
    by_place: dict[tuple[str, str], list[tuple[float, Difference]]] = {}
    for one in settled:
        for bay, share in shares_of(one.sheet):
            for difference in one.differences:
                by_place.setdefault((bay, difference.symbol), []).append((share, difference))
    found = [_bias(bay, symbol, weighed) for (bay, symbol), weighed in by_place.items()]
    return sorted(found, key=lambda one: (not one.is_remarkable, one.bay, one.symbol))


def shares_of(sheet: LoadSheet) -> Iterator[tuple[str, float]]:
    """Yield every bay with its share of the weight of a load, 0..1."""
    for bay in dict.fromkeys(part.bay for part in sheet.parts):
        mass_g = sum(part.mass_g for part in sheet.parts if part.bay == bay)
        yield bay, mass_g / sheet.parts_g


def _bias(bay: str, symbol: str, weighed: Sequence[tuple[float, Difference]]) -> Bias:
    weight = sum(share for share, _ in weighed)
    own = math.sqrt(sum((share * one.own) ** 2 for share, one in weighed)) / weight
    common = sum(share * one.common for share, one in weighed) / weight
    return Bias(
        bay=bay,
        symbol=symbol,
        loads=len(weighed),
        mean=sum(share * one.value for share, one in weighed) / weight,
        sigma=math.hypot(own, common),
        over_time=tuple(one.value for _, one in weighed),
    )
