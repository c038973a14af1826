"""What a bay is made of: the weighted composition of its pieces with its uncertainty."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import numpy as np

from console.yard.chemistry.content import Content
from console.yard.metals import metals_of, rows_of
from console.yard.yard import Bay
from grade_library.errors import ObservationError
from grade_library.facts import Reading
from grade_library.library import GradeLibrary
from grade_library.lots.blending import Blend
from grade_library.normal import FloatArray
from grade_library.technique import FALLBACK, Profile, profiles

COMMON_SHARE = 0.25
"""Part of the variance of melts of one grade that all pieces of that grade have in common, since one mill or
one supplier stands behind many of them (own judgement)."""
COMMON_BIAS = 0.5
"""Part of the variance of a reading that is the analyser's own bias, the same in every reading: it adds up
and does not average away (own judgement)."""
UNKNOWN_RELATIVE = 1.0
"""How far a metal of no kind may lie from what it looks like, as a share of their content or of what is
beside it, whichever is less (own judgement)."""
LEAST_MASS_G = 0.5
"""Below it nothing lies in a bay: weights are whole grams."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class BaySums:
    """The sums from which the composition of a bay follows; adding a piece is quick."""

    library: GradeLibrary
    techniques: Mapping[str, Profile] = field(default_factory=profiles)
    """By which the uncertainty of readings is known."""
    mass_g: float = 0.0
    pieces: float = 0.0
    refused_g: float = 0.0
    """Expected weight that the bay's buyer does not take [g]."""
    weighted: FloatArray = field(default_factory=lambda: np.zeros(0))
    """Σ m·c of each element [g·wt %]."""
    own: FloatArray = field(default_factory=lambda: np.zeros(0))
    """Σ m²·u², what is independent from piece to piece."""
    bias: FloatArray = field(default_factory=lambda: np.zeros(0))
    """Σ m·u of what all readings have in common."""
    by_grade: Mapping[int, FloatArray] = field(default_factory=dict)
    """Row of `metals_of` -> Σ m·p of each element that is known by the metal only."""
    squares: FloatArray = field(default_factory=lambda: np.zeros(0))
    """Σ m²·c²."""
    cross: FloatArray = field(default_factory=lambda: np.zeros(0))
    """Σ m²·c."""
    mass_squares: float = 0.0
    """Σ m²."""

    @classmethod
    def empty(cls, library: GradeLibrary, techniques: Mapping[str, Profile] | None = None) -> "BaySums":
        """Return the sums of an empty bay; without techniques the shipped profiles hold."""
        zero = np.zeros(len(library.elements))
        known = profiles() if techniques is None else techniques
        return cls(
            library=library, techniques=known, weighted=zero, own=zero, bias=zero, squares=zero, cross=zero
        )

    def plus(self, content: Content, bay: Bay | None = None) -> "BaySums":
        """Return the sums with one more entry.

        Args:
            content: What is added.
            bay: Where it lies, for the share that its buyer refuses; None leaves that out.
        """
        return self._changed(content, bay, 1.0)

    def minus(self, content: Content, bay: Bay | None = None) -> "BaySums":
        """Return the sums as if an entry that `plus` added had never come.

        Holds where nothing was drawn down since the entry came; what remains of the last entry's rounding is
        taken for an empty bay.
        """
        less = self._changed(content, bay, -1.0)
        return less if less.mass_g >= LEAST_MASS_G else BaySums.empty(self.library, self.techniques)

    def _changed(self, content: Content, bay: Bay | None, times: float) -> "BaySums":
        """Return the sums with an entry added (1.0) or taken away (-1.0)."""
        made = _estimate(content, self.library, self.techniques)
        mass, square = times * content.mass_g, times * content.mass_g**2
        by_grade = dict(self.by_grade)
        for row, share in made.share_by_row.items():
            by_grade[row] = by_grade.get(row, 0.0) + mass * share * made.is_by_grade
        return replace(
            self,
            mass_g=self.mass_g + mass,
            pieces=self.pieces + times * content.pieces,
            refused_g=self.refused_g + mass * max(0.0, 1.0 - content.taken_in(bay)),
            weighted=self.weighted + mass * made.mean,
            own=self.own + square * made.own_variance,
            bias=self.bias + mass * made.common_sigma,
            by_grade=by_grade,
            squares=self.squares + square * made.mean**2,
            cross=self.cross + square * made.mean,
            mass_squares=self.mass_squares + square,
        )

    def means_of(self, content: Content) -> dict[str, float]:
        """Return what an entry holds of every element by itself, before it is added [wt %]."""
        rows, p = _metals_in(content, self.library)
        means = dict(
            zip(self.library.elements, (p @ metals_of(self.library).mean[rows]).tolist(), strict=True)
        )
        if content.reading is not None:
            profile = self.techniques.get(content.reading.technique, profiles()[FALLBACK])
            told = {symbol: _read(content.reading, symbol, profile) for symbol in means}
            means |= {symbol: read.wt_pct for symbol, read in told.items() if read is not None}
        return means

    def composition(self) -> dict[str, Blend]:
        """Return every element of the bay with its standard uncertainty [wt %]; empty for an empty bay."""
        if self.mass_g <= 0.0:
            return {}
        mean = self.weighted / self.mass_g
        shared = self.bias**2
        spread = metals_of(self.library).spread
        for row, weight in self.by_grade.items():
            shared = shared + COMMON_SHARE * (weight * spread[row]) ** 2
        # What was taken away again may leave a rounding below nothing.
        sigma = np.sqrt(np.maximum(self.own, 0.0) + shared) / self.mass_g
        common = np.sqrt(shared) / self.mass_g
        return {
            symbol: Blend(wt_pct=float(c), sigma=float(u), common=float(b))
            for symbol, c, u, b in zip(self.library.elements, mean, sigma, common, strict=True)
        }

    def unread(self) -> dict[str, float]:
        """Return of every element the part of the weight in which it is known by the metal only, 0..1."""
        if self.mass_g <= 0.0:
            return {}
        known_by_metal = sum(self.by_grade.values(), np.zeros(len(self.library.elements))) / self.mass_g
        return dict(zip(self.library.elements, np.clip(known_by_metal, 0.0, 1.0).tolist(), strict=True))

    def part(self, share: float) -> "BaySums":
        """Return the sums of a part of the bay that is taken blindly, piece by piece.

        Which pieces are in the part is chance: the scatter between pieces is added to what is not known of
        it, and fewer pieces average less.

        Args:
            share: Part of the weight, 0..1.
        """
        if not 0.0 <= share <= 1.0:
            raise ObservationError(f"part {share:g} of a bay: needs 0 to 1")
        scatter = np.zeros_like(self.own)
        if self.mass_g > 0.0:
            mean = self.weighted / self.mass_g
            scatter = np.maximum(self.squares - 2.0 * mean * self.cross + mean**2 * self.mass_squares, 0.0)
        return replace(
            self,
            mass_g=share * self.mass_g,
            pieces=share * self.pieces,
            refused_g=share * self.refused_g,
            weighted=share * self.weighted,
            own=share * self.own + share * (1.0 - share) * scatter,
            bias=share * self.bias,
            by_grade={row: share * weight for row, weight in self.by_grade.items()},
            squares=share * self.squares,
            cross=share * self.cross,
            mass_squares=share * self.mass_squares,
        )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Estimate:
    """One entry, element by element; arrays of shape (n_elements,)."""

    mean: FloatArray
    own_variance: FloatArray
    """Independent of every other entry [wt %²]."""
    common_sigma: FloatArray
    """Common to all readings [wt %]."""
    is_by_grade: FloatArray
    """1 where the element is known by the grade only."""
    share_by_row: Mapping[int, float]


def _metals_in(content: Content, library: GradeLibrary) -> tuple[list[int], FloatArray]:
    """Return the rows of what an entry can be, and how probable each is among them."""
    row_of_kind = metals_of(library).row_of_kind
    by_row = {row_of_kind[kind]: share for kind, share in content.unlisted.items()}
    for answer_id, share in content.shares.items():
        for row, part in rows_of(library, answer_id).items():
            by_row[row] = by_row.get(row, 0.0) + share * part
    known = sum(by_row.values())
    if not known > 0.0:
        raise ObservationError("an entry needs at least one metal that it can be")
    return list(by_row), np.array(list(by_row.values())) / known


def _estimate(content: Content, library: GradeLibrary, techniques: Mapping[str, Profile]) -> _Estimate:
    metals = metals_of(library)
    rows, p = _metals_in(content, library)
    known = sum(content.shares.values()) + sum(content.unlisted.values())
    mean = p @ metals.mean[rows]
    # Within a metal melts differ, between the metals that it can be the means do: misplacement is in the
    # latter.
    variance = p @ ((1.0 - COMMON_SHARE) * metals.spread[rows] ** 2 + (metals.mean[rows] - mean) ** 2)
    variance = variance + max(0.0, 1.0 - known) * (UNKNOWN_RELATIVE * np.minimum(mean, 100.0 - mean)) ** 2
    common, by_grade = np.zeros_like(mean), np.ones_like(mean)
    if content.reading is not None:
        profile = techniques.get(content.reading.technique, profiles()[FALLBACK])
        for column, symbol in enumerate(library.elements):
            if (read := _read(content.reading, symbol, profile)) is not None:
                mean[column] = read.wt_pct
                variance[column] = (1.0 - COMMON_BIAS) * read.sigma**2
                common[column] = math.sqrt(COMMON_BIAS) * read.sigma
                by_grade[column] = 0.0
    return _Estimate(
        mean=mean,
        own_variance=variance,
        common_sigma=common,
        is_by_grade=by_grade,
        share_by_row=dict(zip(rows, p.tolist(), strict=True)),
    )


def _read(reading: Reading, symbol: str, profile: Profile) -> Blend | None:
    """Return what a reading says of an element; up to its limit where it was not found."""
    if symbol in reading.values:
        value = reading.values[symbol]
        return Blend(wt_pct=value, sigma=reading.sigma.get(symbol) or profile.sigma(symbol, value))
    if symbol in reading.below:
        return Blend(wt_pct=0.5 * reading.below[symbol], sigma=reading.below[symbol] / math.sqrt(12.0))
    return None
