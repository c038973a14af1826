"""Which bays want watching: full or nearly, and near a limit of their buyer."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from console.ground.cleaning import clean
from console.ground.mass import format_mass
from console.reports.chemistry_text import figure
from console.yard.chemistry.composition import BaySums
from console.yard.chemistry.headroom import LimitState, Standing, bay_chemistry
from console.yard.yard import Bay, Thresholds, Yard

NEARLY_FULL = 0.9
"""Of a bale or of the bay, from which the next sorter should know; our own choice."""
NEAR_LIMIT = 0.95
"""Of a limit that may be used up before the next sorter should know; our own choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BayWatch:
    """One thing to watch in one bay."""

    code: str
    name: str
    said: str
    """What it is, as a sentence without the bay's name."""


def bay_watch(yard: Yard, lying: Mapping[str, int], sums: Mapping[str, BaySums]) -> tuple[BayWatch, ...]:
    """Return what is to be watched in the bays, in the order of yard.toml.

    Args:
        yard: The bays with their bales, capacities and limits.
        lying: What lies in each bay by the ledger, by its code [g].
        sums: What that metal is, by the bay's code.
    """
    return tuple(
        BayWatch(code=clean(bay.code), name=clean(bay.name), said=said)
        for bay in yard.bays
        for said in (
            *_full(bay, lying.get(bay.code, 0), yard.weight_unit),
            *_near(bay, sums, yard.thresholds),
        )
    )


def _full(bay: Bay, mass_g: int, unit: str) -> Iterator[str]:
    """Yield that a bay is full, or holds a full bale, or nearly; one sentence at most."""
    lies = format_mass(mass_g, unit)
    bale = f"a full bale is {format_mass(bay.bale_g, unit)}" if bay.bale_g else ""
    if bay.capacity_g and mass_g >= NEARLY_FULL * bay.capacity_g:
        word = "is full" if mass_g >= bay.capacity_g else "is nearly full"
        yield f"{word}: {lies} of {format_mass(bay.capacity_g, unit)}{'; ' + bale if bale else ''}"
    elif bay.bale_g and mass_g >= NEARLY_FULL * bay.bale_g:
        word = "holds a full bale" if mass_g >= bay.bale_g else "holds nearly a bale"
        yield f"{word}: {lies}; {bale}"


def _near(bay: Bay, sums: Mapping[str, BaySums], thresholds: Thresholds) -> Iterator[str]:
    """Yield every limit of the buyer that is at risk, broken or nearly used up."""
    found = sums.get(bay.code)
    if found is None:
        return
    chemistry = bay_chemistry(bay, found)
    if chemistry.says_nothing(thresholds):
        return
    for state in chemistry.limits:
        standing = state.standing(thresholds)
        if standing is not Standing.KEPT or state.used >= NEAR_LIMIT:
            yield (
                f"{state.symbol} {figure(state.content)} wt %, the buyer wants {state.limit}: "
                f"{_words(state, standing)}"
            )


def _words(state: LimitState, standing: Standing) -> str:
    """Return how a limit that wants watching stands, in words."""
    if standing is Standing.KEPT:
        return "near its limit"
    return f"{standing.upper()}, {100.0 * state.chance_kept:.0f} % likely kept"
