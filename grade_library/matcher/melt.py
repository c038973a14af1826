"""What the melts of each grade look like, element by element, as a technique would see them."""

import functools
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from importlib import resources
from typing import Any

import numpy as np
from numpy.typing import NDArray

from grade_library.library import GradeLibrary
from grade_library.normal import FloatArray

IntArray = NDArray[np.int64]

LEAN = ("Ni", "Mo", "Cr", "Co", "W", "Nb", "Ta", "Ag", "V", "Sn", "Re", "Hf", "Be", "Mg")
"""Costly elements: melts run in the lower part of a stated range (melt-shop practice, memory; in 70
published heats the median lies at 0.45 of the range of nickel and molybdenum, 0.40 of chromium, 0.44 of
magnesium)."""
LEAN_LOW_SHARE = 0.57
"""Share of melts in the lower half of the range of a costly element (same heats)."""
STRAYING = (
    "Ti",
    "Ni",
    "Cr",
    "Cu",
    "Zn",
    "Pb",
    "Sn",
    "V",
    "Co",
    "Zr",
    "Ga",
    "Cd",
    "W",
    "As",
    "Sb",
    "Bi",
    "Nb",
)
"""With only a maximum, these come by chance from the charge: most melts hold little of them."""
STRAYING_LOW_PART, STRAYING_LOW_SHARE = 0.25, 0.50
"""Lowest part of the maximum of a straying element, and the share of melts in it (same heats)."""
IMPURITY_LOW_PART, IMPURITY_LOW_SHARE = 0.65, 0.75
"""The same for the others (carbon, silicon, iron, manganese, phosphorus ...): spread evenly, seldom at the
limit."""
RESIDUAL_KNOTS = (1.0, 3.5)
"""An element that the grade does not name: exponential, drawn as two steps up to these multiples of its
scale."""
RESIDUAL_LOW_SHARE = 0.66
MAIN_SOFT_FLOOR, MAIN_SOFT = 0.3, 0.012
"""How far melts stray beyond a limit, the scale of an exponential: for a main element so many wt % and so
much of the limit (in the same heats by 0.27 to 1.3 wt %, 1.0 of this scale on average; in 25 heats held back
by 0.02 to 0.7 wt %, 0.6 of it) ..."""
RANGED_SOFT, MOST_SOFT = 0.05, 0.40
"""... for a smaller one with a minimum, and for a trace with a maximum only, relative to the limit (23 of 503
limits were missed in the same heats: ranged ones by 1 to 10 %, traces by up to their own limit)."""
MOST_SOFT_FLOOR, MOST_SOFT_REL = 0.06, 0.05
"""A larger element with a maximum only strays by no more than this [wt %], and this share of its limit (same
heats)."""
RESIDUAL_SOFT = 1.5
"""Scale of the tail of a residual beyond its usual spread, in units of its own scale."""
MAIN_TAIL, MINOR_TAIL = 0.04, 0.05
"""Share of melts that stray beyond a limit (same heats; of 25 heats held back 5 of 39 main and 6 of 141 other
limits were missed)."""
MAIN_WT_PCT = 5.0
"""From this limit on an element is a main one: beyond its own scale it is not forgiven."""
REST_WEIGHT = 0.5
"""The rest follows from the other elements of the same reading, so its term is only half a witness
(tempering)."""
TAIL_SIGMAS = 0.5
"""Tails of a main element fall by e for each half standard uncertainty beyond the edge's own softness ..."""
TAIL_SIGMAS_MINOR = 1.0
"""... of a minor one for each whole: a dirty spot adds a little of something, never chromium by the per
cent."""
TRACE_REWARD = 0.9
"""Power of the reward that a tight limit earns for an element with a maximum only: such limits go together,
so that a melt which keeps one keeps the others too."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Melts:
    """Every distinct spread of one element over the grades ("term"), and which grade has which.

    A spread has two steps, [low, mid] and [mid, high], and tails that fall steadily beyond both edges.
    """

    elements: tuple[str, ...]
    element_of: IntArray
    """Column of each term, shape (n_terms,), ascending."""
    low: FloatArray
    """Lower edge of each term [wt %], shape (n_terms,)."""
    mid: FloatArray
    high: FloatArray
    low_share: FloatArray
    """Share of the melts between low and mid."""
    soft_low: FloatArray
    """How far melts stray below the lower edge [wt %]; 0 where nothing can."""
    soft_high: FloatArray
    """How far melts stray above the upper edge [wt %]."""
    tail: FloatArray
    """Share of the melts that stray."""
    is_rest: NDArray[np.bool_]
    """The element makes up the rest of the metal."""
    is_demanded: NDArray[np.bool_]
    """The grade asks for the element: it has a minimum."""
    index: IntArray
    """Term of each grade and element, shape (n_grades, n_elements)."""

    @functools.cached_property
    def tail_sigmas(self) -> FloatArray:
        """How fast the tails of each term fall, in standard uncertainties, shape (n_terms,)."""
        return np.where(self.high >= MAIN_WT_PCT, TAIL_SIGMAS, TAIL_SIGMAS_MINOR)

    @functools.cached_property
    def trace_reward(self) -> FloatArray:
        """What is taken off where a value is of a trace [nats], shape (n_terms,): clean melts are clean in
        everything, so a tight limit earns less than its width alone would give it."""
        is_trace = (self.low <= 0.0) & ~self.is_rest
        return np.where(is_trace, (1.0 - TRACE_REWARD) * np.log(np.where(is_trace, self.high, 1.0)), 0.0)

    @functools.cached_property
    def low_to_the_1_5(self) -> FloatArray:
        """The lower edge to the power 1.5, shape (n_terms,); a power is the dearest step of a reading."""
        return np.asarray(self.low**1.5)

    @functools.cached_property
    def witness(self) -> FloatArray:
        """How much the value of each term counts, shape (n_terms,)."""
        return np.where(self.is_rest, REST_WEIGHT, 1.0)

    def terms_of(self, rows: IntArray, columns: IntArray) -> tuple[IntArray, IntArray]:
        """Return the terms of some grades and elements, each once and in order, and the place of each grade's
        among them, shape (n_columns, n_rows)."""
        index = self.index.T[columns[:, None], rows]
        is_held = np.zeros(len(self.low), dtype=bool)
        is_held[index] = True
        at = np.flatnonzero(is_held)
        place = np.empty(len(self.low), dtype=np.int64)
        place[at] = np.arange(at.size)
        return at, place[index]

    @functools.cached_property
    def _asked(self) -> tuple[IntArray, IntArray]:
        """Grade and term of every element that a grade asks for or is the rest of it."""
        grades, columns = np.nonzero((self.is_rest | self.is_demanded)[self.index])
        return grades, self.index[grades, columns]

    def sums(self, terms: FloatArray, is_told: NDArray[np.bool_]) -> FloatArray:
        """Return the sum of the terms of each grade, shape (n_grades,).

        Args:
            terms: What a reading adds for each term, shape (n_terms,); of elements that were not reported it
                adds something only where a grade asks for them.
            is_told: Whether each element was reported, shape (n_elements,).
        """
        # By columns, which lie one behind the other: adding whole columns is quicker than summing rows.
        total = terms.take(self.index.T[is_told]).sum(axis=0)
        grades, asked = self._asked
        silent = np.where(is_told[self.element_of], 0.0, terms)
        return np.asarray(total + np.bincount(grades, silent.take(asked), minlength=len(total)))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Spreads:
    """The spread of every element of every grade, before equal ones are pooled; all of shape (n_grades,
    n_elements)."""

    low: FloatArray
    mid: FloatArray
    high: FloatArray
    low_share: FloatArray
    soft_low: FloatArray
    soft_high: FloatArray
    tail: FloatArray
    is_rest: NDArray[np.bool_]
    is_demanded: NDArray[np.bool_]
    is_residual: NDArray[np.bool_]
    """The grade does not name the element."""

    @property
    def mean(self) -> FloatArray:
        """Mean content [wt %], shape (n_grades, n_elements)."""
        lower, upper = 0.5 * (self.low + self.mid), 0.5 * (self.mid + self.high)
        return np.asarray(self.low_share * lower + (1.0 - self.low_share) * upper)

    @property
    def variance(self) -> FloatArray:
        """Variance of the content [wt %²], shape (n_grades, n_elements)."""
        lower, upper = 0.5 * (self.low + self.mid), 0.5 * (self.mid + self.high)
        share = self.low_share
        within = share * (self.mid - self.low) ** 2 + (1.0 - share) * (self.high - self.mid) ** 2
        return np.asarray(within / 12.0 + share * (1.0 - share) * (upper - lower) ** 2)


@functools.cache
def _residual_table() -> Mapping[str, Any]:
    data = resources.files("grade_library") / "data" / "residuals.toml"
    return tomllib.loads(data.read_text("utf-8"))


def residual_scale(group: str, symbol: str) -> float:
    """Return the usual scale [wt %] of an element that a grade of the group does not name.

    >>> residual_scale("stainless", "Cu")
    0.22
    """
    table = _residual_table()
    content = table.get(table["same-as"].get(group, group), table["others"])
    return float(content.get(symbol, content["usual"]))


def spreads_of(library: GradeLibrary) -> Spreads:
    """Return what melts of each grade look like, from its limits and the usual residuals of its group."""
    residual = _residuals(library)
    is_rest = library.is_rest | _unstated_base(library)
    low, high, is_residual = _edges(library, is_rest, residual)
    mid, share = _steps(library, low, high, np.where(is_residual, residual, np.nan))
    mean = np.where(is_residual, mid, 0.5 * (share * low + mid + (1.0 - share) * high))
    half = np.where(is_residual, mid, 0.5 * (high - low))
    low, high = _fill_rest(library, low, high, is_rest, mean, half)
    mid = np.where(is_rest, 0.5 * (low + high), np.clip(mid, low, high))
    is_main = high >= MAIN_WT_PCT
    soft, floor = np.where(is_main, MAIN_SOFT, RANGED_SOFT), np.where(is_main, MAIN_SOFT_FLOOR, 0.0)
    soft_most = np.minimum(MOST_SOFT * high, MOST_SOFT_FLOOR + MOST_SOFT_REL * high)
    soft_high = np.where((low > 0.0) | is_main, floor + soft * high, soft_most) + 0.001
    is_open = is_residual & (high < _most_of_others(library))
    return Spreads(
        low=low,
        mid=mid,
        high=high,
        low_share=np.where(is_rest, 0.5, share),
        soft_low=np.where(low > 0.0, floor + soft * low, 0.0),
        soft_high=np.where(is_open, RESIDUAL_SOFT * residual, soft_high),
        tail=np.where(is_main, MAIN_TAIL, MINOR_TAIL),
        is_rest=is_rest,
        is_demanded=~np.isnan(library.low) & ~is_rest & (low > 0.0),
        is_residual=is_residual,
    )


def _residuals(library: GradeLibrary) -> FloatArray:
    """Return the usual residual of every grade and element, times what was learned of it [wt %]."""
    groups = sorted({grade.group for grade in library.grades})
    table = np.array([[residual_scale(group, symbol) for symbol in library.elements] for group in groups])
    usual = table[[groups.index(grade.group) for grade in library.grades]]
    columns = {symbol: j for j, symbol in enumerate(library.elements)}
    for (grade_id, symbol), factor in library.residual_factors.items():
        if symbol in columns:
            usual[library.index_of(grade_id), columns[symbol]] *= factor
    return usual


def _most_of_others(library: GradeLibrary) -> FloatArray:
    """Return the most of any element not named [wt %], infinite where none is stated, shape (n_grades, 1)."""
    return np.where(np.isnan(library.others_each), np.inf, library.others_each)[:, None]


def _edges(
    library: GradeLibrary, is_rest: NDArray[np.bool_], residual: FloatArray
) -> tuple[FloatArray, FloatArray, NDArray[np.bool_]]:
    """Return the edges of every spread but the rest's [wt %], and whether the element is a residual."""
    has_low, has_high = ~np.isnan(library.low), ~np.isnan(library.high)
    is_limited = has_low | has_high | is_rest
    in_sums = _most_in_sums(library)
    is_residual = ~is_limited & np.isnan(in_sums)
    low = np.where(has_low, library.low, 0.0)
    high = np.where(has_high, library.high, 0.0)
    high = np.where(is_limited, high, np.nan_to_num(in_sums))
    # A minimum without a maximum: melts hold little more than what is asked, unless it is the main element.
    only_low = has_low & ~has_high & ~is_rest
    high = np.where(only_low, np.where(low >= 50.0, 100.0, 1.6 * low + 0.1), high)
    # An element under "others, each" is a residual like any other, cut off where its allowance ends.
    most = np.minimum(RESIDUAL_KNOTS[1] * residual, _most_of_others(library))
    return low, np.where(is_residual, most, high), is_residual


def _steps(
    library: GradeLibrary, low: FloatArray, high: FloatArray, residual: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Return the middle edge of every spread [wt %] and the share of melts below it.

    Args:
        library: The grades.
        low, high: Edges [wt %].
        residual: Scale of the residual [wt %], NaN where the element is none.
    """
    is_lean = np.isin(np.array(library.elements), LEAN)[None, :]
    is_straying = np.isin(np.array(library.elements), STRAYING)[None, :]
    part = np.where(is_straying, STRAYING_LOW_PART, IMPURITY_LOW_PART)
    share = np.where(is_straying, STRAYING_LOW_SHARE, IMPURITY_LOW_SHARE)
    mid = np.where(low > 0.0, 0.5 * (low + high), part * high)
    share = np.where(low > 0.0, np.where(is_lean, LEAN_LOW_SHARE, 0.5), share)
    is_residual = ~np.isnan(residual)
    mid = np.where(is_residual, np.minimum(residual, 0.4 * high), mid)
    return mid, np.where(is_residual, RESIDUAL_LOW_SHARE, share)


def _unstated_base(library: GradeLibrary) -> NDArray[np.bool_]:
    """Return True for the base element of a grade that states neither a limit nor a rest for it."""
    found = np.zeros(library.low.shape, dtype=bool)
    columns = {symbol: j for j, symbol in enumerate(library.elements)}
    for i, grade in enumerate(library.grades):
        if not library.is_rest[i].any() and grade.base in columns and grade.base not in grade.limits:
            found[i, columns[grade.base]] = True
    return found


def _most_in_sums(library: GradeLibrary) -> FloatArray:
    """Return the limit of the sum that names an element, NaN where none does, shape (n_grades,
    n_elements)."""
    most = np.full(library.low.shape, np.nan)
    columns = {symbol: j for j, symbol in enumerate(library.elements)}
    for i, grade in enumerate(library.grades):
        for key, limit in grade.sums.items():
            for symbol in key.split("+"):
                if symbol in columns and limit.high is not None:
                    most[i, columns[symbol]] = np.fmin(most[i, columns[symbol]], limit.high)
    return most


def _fill_rest(
    library: GradeLibrary,
    low: FloatArray,
    high: FloatArray,
    is_rest: NDArray[np.bool_],
    mean: FloatArray,
    half: FloatArray,
) -> tuple[FloatArray, FloatArray]:
    """Return low and high with the rest set to what the other limits leave [wt %]."""
    has_low, has_high = ~np.isnan(library.low), ~np.isnan(library.high)
    centre = 100.0 - np.where(is_rest, 0.0, mean).sum(axis=1, keepdims=True)
    # Limits are not all used up at once: their widths add in quadrature.
    reach = 1.2 * np.sqrt((np.where(is_rest, 0.0, half) ** 2).sum(axis=1, keepdims=True)) + 0.05
    least, most = np.maximum(centre - reach, 0.0), np.minimum(centre + reach, 100.0)
    rest_low = np.where(has_low, np.maximum(low, np.minimum(least, np.where(has_high, high, 100.0))), least)
    rest_high = np.where(has_high, np.minimum(high, np.maximum(most, low)), np.maximum(most, rest_low))
    low = np.where(is_rest, np.minimum(rest_low, 99.9), low)
    high = np.where(is_rest, np.maximum(rest_high, low + 0.05), high)
    return low, high


def compile_melts(library: GradeLibrary, unseen: frozenset[str], *, normalises: bool) -> Melts:
    """Return the melts of every grade as a technique sees them.

    Args:
        library: The grades.
        unseen: Elements that the technique cannot see; they get no term.
        normalises: What is seen is scaled to 100 %.
    """
    spreads = spreads_of(library)
    seen = np.array([symbol not in unseen for symbol in library.elements])
    scale = np.ones((len(library), 1))
    if normalises:
        hidden = np.where(
            spreads.is_rest, 0.0, 0.5 * (spreads.mid + np.where(spreads.low > 0, spreads.mid, 0.0))
        )
        hidden = hidden[:, ~seen].sum(axis=1, keepdims=True)
        # In steps of 0.5 %, finer than any analyser's noise: grades with equal limits keep sharing their
        # terms.
        steps = 0.5 * np.round(2.0 * np.minimum(hidden, 50.0))
        scale = 100.0 / (100.0 - steps)
    columns = np.flatnonzero(seen)
    names = ("low", "mid", "high", "low_share", "soft_low", "soft_high", "tail", "is_rest", "is_demanded")
    rows = np.empty((len(library), len(columns), len(names) + 1))
    rows[:, :, 0] = np.arange(len(columns))
    for k, name in enumerate(names):
        values = getattr(spreads, name)[:, columns].astype(np.float64)
        rows[:, :, k + 1] = (
            values * scale if name in {"low", "mid", "high", "soft_low", "soft_high"} else values
        )
    unique, inverse = _alike(np.round(rows.reshape(-1, rows.shape[2]), 6))
    fields = {name: unique[:, k + 1].copy() for k, name in enumerate(names)}
    flags = {name: fields.pop(name).astype(bool) for name in ("is_rest", "is_demanded")}
    return Melts(
        elements=tuple(library.elements[j] for j in columns),
        element_of=unique[:, 0].astype(np.int64),
        index=np.asfortranarray(inverse.reshape(len(library), len(columns)).astype(np.int64)),
        is_rest=flags["is_rest"],
        is_demanded=flags["is_demanded"],
        **fields,
    )


def _alike(rows: FloatArray) -> tuple[FloatArray, NDArray[np.int64]]:
    """Return the rows that differ, in order, and which of them each row is.

    Rows are first told apart by their bytes: most are alike, and sorting all of them costs ten times as much.
    """
    rows = np.ascontiguousarray(rows) + 0.0  # a zero has one sign
    size, data = rows.itemsize * rows.shape[1], rows.tobytes()
    place: dict[bytes, int] = {}
    first = [place.setdefault(data[i : i + size], len(place)) for i in range(0, len(data), size)]
    found = np.frombuffer(b"".join(place)).reshape(-1, rows.shape[1])
    unique, order = np.unique(found, axis=0, return_inverse=True)
    return unique, order.astype(np.int64)[first]
