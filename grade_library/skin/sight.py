"""How a technique sees metal beneath a coating: grades and coatings laid out over the same elements."""

import functools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from grade_library.library import GradeLibrary
from grade_library.matcher.likelihood import Observed
from grade_library.matcher.melt import Melts
from grade_library.normal import FloatArray
from grade_library.skin.attenuation import Physics, physics_of
from grade_library.skin.coating_sight import SHARE_LOGITS, CoatingMaker, CoatingSight, logit
from grade_library.skin.coatings import all_coatings
from grade_library.technique import Profile

SHARE_FLOOR = 0.2
"""Share of pieces whose coating is nothing like the usual thickness: worn, double, patched (memory)."""
STRAY_MID_WT_PCT = 0.02
STRAY = {
    "low": 0.0,
    "mid": STRAY_MID_WT_PCT,
    "high": 0.07,
    "low_share": 0.66,
    "soft_low": 0.0,
    "soft_high": 0.04,
    "tail": 0.05,
}
"""Spread in clean metal of an element that no grade names (chlorine, barium ...) [wt %] (memory)."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Together:
    """All coatings end to end, so that any of them are looked up in one step.

    A coating of fewer layers or ways to lie on metal than others has zeros and ones in their place.
    """

    layers: FloatArray
    """As of `CoatingSight`, shape (n_layers, n_elements, n_scales, n_coatings)."""
    spread: FloatArray
    is_layer: NDArray[np.bool_]
    """Shape (n_layers, n_coatings)."""
    is_optional: NDArray[np.bool_]
    """Same shape."""
    fading: FloatArray
    """Shape (n_elements, n_scales, n_coatings)."""
    lost: FloatArray
    """What each element loses against that which loses least, 0..1, same shape."""
    thickest_um: FloatArray
    """Shape (n_coatings,)."""
    share_below: FloatArray
    """Shape (n_coatings, n_share_logits)."""
    first: NDArray[np.int64]
    """Where the grades of each coating begin among the pairs of coating and grade, shape (n_coatings,)."""
    scaling: FloatArray
    """Shape (n_scales, n_pairs)."""
    film_logit: FloatArray
    """Shape (n_places, n_pairs)."""
    film_logit_sigma: FloatArray

    def chance_between(self, coating: NDArray[np.int64], low: FloatArray, high: FloatArray) -> FloatArray:
        """Return the chance that the share of some coatings in a shot on untouched surface lies between two
        shares; all of one shape."""
        found = self._chance_below(coating, high) - self._chance_below(coating, low)
        return np.asarray((1.0 - SHARE_FLOOR) * found + SHARE_FLOOR * (high - low))

    def _chance_below(self, coating: NDArray[np.int64], share: FloatArray) -> FloatArray:
        step = (logit(share) - SHARE_LOGITS[0]) / (SHARE_LOGITS[1] - SHARE_LOGITS[0])
        step = np.clip(step, 0.0, len(SHARE_LOGITS) - 1)
        place = np.minimum(step.astype(np.int64), len(SHARE_LOGITS) - 2)
        lower, upper = self.share_below[coating, place], self.share_below[coating, place + 1]
        return np.asarray(lower + (step - place) * (upper - lower))


def _together(coatings: Sequence[CoatingSight], n_elements: int) -> Together:
    n_layers = max(len(coating.layers) for coating in coatings)
    n_scales = max(coating.n_scales for coating in coatings)
    layers = np.zeros((n_layers, n_elements, n_scales, len(coatings)))
    spread, is_layer = layers.copy(), np.zeros((n_layers, len(coatings)), dtype=bool)
    is_optional = is_layer.copy()
    for k, coating in enumerate(coatings):
        n = len(coating.layers)
        layers[:n, :, : coating.n_scales, k] = coating.layers.swapaxes(1, 2)
        spread[:n, :, : coating.n_scales, k] = coating.spread.swapaxes(1, 2)
        is_layer[:n, k], is_optional[:n, k] = True, coating.is_optional
    fading = np.array([_filled(coating.fading, n_scales) for coating in coatings]).T
    sizes = [len(coating.rows) for coating in coatings]

    def of_pairs(parts: Sequence[FloatArray], n: int) -> FloatArray:
        return np.concatenate([_filled(part, n) for part in parts], axis=1)

    return Together(
        layers=layers,
        spread=spread,
        is_layer=is_layer,
        is_optional=is_optional,
        fading=fading,
        lost=1.0 - fading / fading.max(axis=0),
        thickest_um=np.array([coating.coating.thickest_um for coating in coatings]),
        share_below=np.array([coating.share_below for coating in coatings]),
        first=np.cumsum([0, *sizes[:-1]]),
        scaling=of_pairs([coating.scaling for coating in coatings], n_scales),
        film_logit=of_pairs([coating.film_logit for coating in coatings], n_scales - 1),
        film_logit_sigma=of_pairs([coating.film_logit_sigma for coating in coatings], n_scales - 1),
    )


def _filled(rows: FloatArray, n: int) -> FloatArray:
    """Return so many rows, ones where there are fewer."""
    return np.concatenate([rows, np.ones((n - len(rows), rows.shape[1]))])


@dataclass(frozen=True, kw_only=True, eq=False)
class Sight:
    """The library and all coatings as one technique sees them."""

    physics: Physics
    melts: Melts
    """The spreads of every grade, over all elements."""
    stray: Melts
    """Those of the elements that no grade names, alone."""
    elements: tuple[str, ...]
    """The elements that grades name, then those that only coatings bring."""
    n_named: int
    """Number of elements that grades name."""
    mean: FloatArray
    """Mean content of each grade's melts [wt %], shape (n_grades, n_elements)."""
    variance: FloatArray
    """Variance of it [wt %²], same shape."""
    weight: FloatArray
    """1, or less for the rest, which follows from the other elements; same shape."""
    coatings: tuple[CoatingSight, ...]
    """Those that the technique can see at all."""
    together: Together
    """The same end to end."""
    is_key: FloatArray
    """1 for the elements without one of which a coating is out of question, shape (n_coatings,
    n_elements)."""
    certain: FloatArray
    """What each element comes to at least in each coating [wt %], 0 where it may be missing; same shape."""

    def most_shares(self, room: FloatArray) -> FloatArray:
        """Return the largest share of each coating that a reading leaves room for, 0..1.

        Args:
            room: What each element may come to [wt %], shape (n_elements,).
        """
        share = np.where(self.certain > 0.0, room / np.maximum(self.certain, 1.0), 1.0)
        return np.asarray(np.minimum(share.min(axis=1), 1.0))

    @functools.cached_property
    def by_name(self) -> Mapping[str, CoatingSight]:
        """The coatings by their names."""
        return {sight.coating.name: sight for sight in self.coatings}


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ShotView:
    """One reading over the elements of a `Sight`; all of shape (n_elements,)."""

    value: FloatArray
    """Mass fraction [wt %]; NaN where none is reported."""
    sigma: FloatArray
    below: FloatArray
    """Detection limit [wt %] of an element looked for and not found; NaN elsewhere."""
    gap: float
    """What the reported elements leave of 100 [wt %], >= 0."""
    gap_sigma: float
    """Standard uncertainty of the gap [wt %]."""

    def of(self, columns: NDArray[np.int64]) -> Observed:
        """Return some columns as `Observed`."""
        return Observed(
            value=self.value[columns],
            sigma=self.sigma[columns],
            below=self.below[columns],
            gap=self.gap,
            gap_sigma=self.gap_sigma,
            is_elsewhere=np.zeros(len(columns), dtype=bool),
        )


@dataclass(frozen=True, kw_only=True, eq=False)
class Beneath:
    """Grades that may lie beneath some coatings, end to end."""

    together: Together
    coatings: Sequence[CoatingSight]
    """Alike in the number of ways that they lie on metal; those of most layers first."""
    at: Sequence[NDArray[np.int64]]
    """For each of them, places among its rows."""

    @functools.cached_property
    def counts(self) -> list[int]:
        """How many grades are beneath each coating."""
        return [len(at) for at in self.at]

    @functools.cached_property
    def rows(self) -> NDArray[np.int64]:
        """The grades, shape (n_rows,)."""
        return np.concatenate([c.rows[at] for c, at in zip(self.coatings, self.at, strict=True)])

    @functools.cached_property
    def places(self) -> NDArray[np.int64]:
        """The coatings' places in the sight, shape (n_coatings,)."""
        return np.array([coating.place for coating in self.coatings])

    @functools.cached_property
    def coating_of(self) -> NDArray[np.int64]:
        """Place among `coatings` of the one that each grade is beneath, shape (n_rows,)."""
        return np.repeat(np.arange(len(self.coatings)), self.counts)

    @functools.cached_property
    def kinds(self) -> NDArray[np.int64]:
        """Place in the sight of the coating that each grade is beneath, shape (n_rows,)."""
        return self.places[self.coating_of]

    @functools.cached_property
    def pairs(self) -> NDArray[np.int64]:
        """Places among the pairs of coating and grade of the sight, shape (n_rows,)."""
        first = self.together.first[self.places].tolist()
        return np.concatenate([start + at for start, at in zip(first, self.at, strict=True)])

    @functools.cached_property
    def n_rows_of_layers(self) -> list[int]:
        """How many rows have each layer: the first so many."""
        n_layers = len(self.coatings[0].layers)
        of_each = zip(self.coatings, self.counts, strict=True)
        layers = [(len(coating.layers), count) for coating, count in of_each]
        return [sum(count for n, count in layers if n > i) for i in range(n_layers)]


def compile_sight(library: GradeLibrary, melts: Melts, profile: Profile, shares: FloatArray) -> Sight:
    """Return the library and all coatings as a technique sees them.

    Args:
        library: The grades.
        melts: Their melts as the technique sees them.
        profile: The technique; not a bulk one.
        shares: How often each grade is met, shape (n_grades,): picks what a coating's usual substrates are
        made of.
    """
    named = melts.elements
    strange = sorted({s for c in all_coatings() for s in c.elements} - set(named) - profile.unseen)
    elements = (*named, *strange)
    mean, variance = _moments(melts)
    n_grades = len(library)
    mean = np.hstack([mean, np.full((n_grades, len(strange)), STRAY_MID_WT_PCT)])
    variance = np.hstack([variance, np.full((n_grades, len(strange)), STRAY_MID_WT_PCT**2)])
    stray = _stray(strange)
    melts = _side_by_side(melts, stray)
    maker = CoatingMaker(library, elements, mean, physics_of(profile), profile.unseen, shares)
    made = [maker.make(coating) for coating in all_coatings()]
    coatings = tuple(replace(sight, place=k) for k, sight in enumerate(s for s in made if s is not None))
    is_key = np.zeros((len(coatings), len(elements)))
    for row, sight in zip(is_key, coatings, strict=True):
        row[sight.keys] = 1.0
    return Sight(
        physics=physics_of(profile),
        melts=melts,
        stray=stray,
        elements=elements,
        n_named=len(named),
        mean=mean,
        variance=variance,
        weight=np.where(melts.is_rest[melts.index], 0.5, 1.0),
        coatings=coatings,
        together=_together(coatings, len(elements)),
        is_key=is_key,
        certain=np.array([sight.certain for sight in coatings]),
    )


def _stray(elements: Sequence[str]) -> Melts:
    """Return the spreads in clean metal of elements that no grade names, one term each."""
    n = len(elements)
    no = np.zeros(n, dtype=bool)
    figures = {name: np.full(n, figure) for name, figure in STRAY.items()}
    places = np.arange(n)
    return Melts(
        elements=tuple(elements), element_of=places, is_rest=no, is_demanded=no, index=places[None], **figures
    )


def _side_by_side(named: Melts, stray: Melts) -> Melts:
    """Return the spreads of all elements: those of `stray` are the same for every grade."""
    index = np.repeat(stray.index + len(named.low), len(named.index), axis=0)

    def both(name: str) -> NDArray[Any]:
        return np.append(getattr(named, name), getattr(stray, name))

    return Melts(
        elements=(*named.elements, *stray.elements),
        element_of=np.append(named.element_of, stray.element_of + len(named.elements)),
        index=np.hstack([named.index, index]),
        **{name: both(name) for name in (*STRAY, "is_rest", "is_demanded")},
    )


def _moments(melts: Melts) -> tuple[FloatArray, FloatArray]:
    """Return mean and variance of the two uniform steps of every grade and element."""
    lower, upper = 0.5 * (melts.low + melts.mid), 0.5 * (melts.mid + melts.high)
    share = melts.low_share
    mean = share * lower + (1.0 - share) * upper
    within = share * (melts.mid - melts.low) ** 2 + (1.0 - share) * (melts.high - melts.mid) ** 2
    variance = within / 12.0 + share * (1.0 - share) * (upper - lower) ** 2
    # Melts that stray beyond their limits a little must not decide between coatings.
    variance = variance + (0.5 * np.maximum(melts.soft_low, melts.soft_high)) ** 2
    return mean[melts.index], variance[melts.index]
