"""All facts of one piece against all grades at once, before they are weighed."""

import functools
import weakref
from collections.abc import ItemsView, Iterator, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from grade_library.bench.observations import BenchFact, BenchModel, bench_facts, compile_bench
from grade_library.facts import PieceFacts
from grade_library.library import GradeLibrary
from grade_library.matcher.claim import claim_log_likelihood
from grade_library.matcher.kinds import kinds_of
from grade_library.matcher.likelihood import Observed, term_log_density
from grade_library.matcher.melt import Melts, compile_melts
from grade_library.matcher.prior import Prior
from grade_library.matcher.unlisted import UnlistedModel, compile_unlisted, element_log_density
from grade_library.normal import FloatArray
from grade_library.reading import Averaged, average, metal_shots, observed
from grade_library.technique import Profile

LATELY = 6
"""So many readings are remembered: the stages of a piece and those that a check would add."""
STANDING = 4
"""So many of the commonest grades stand for a kind of metal where all kinds are looked over."""


class ShareById(Mapping[str, float]):
    """The probability of every grade by its id; the dictionary is made when it is first asked for."""

    def __init__(self, ids: tuple[str, ...], probability: FloatArray) -> None:
        self._ids = ids
        self._probability = probability
        self._above: dict[float, Mapping[str, float]] = {}

    @functools.cached_property
    def _shares(self) -> dict[str, float]:
        return dict(zip(self._ids, self._probability.tolist(), strict=True))

    def above(self, least: float) -> Mapping[str, float]:
        """Return the grades that are at least so probable, worked out once for a probability."""
        if least not in self._above:
            rows = np.flatnonzero(self._probability >= least)
            ids = self._ids
            shares = zip(rows.tolist(), self._probability[rows].tolist(), strict=True)
            self._above[least] = {ids[row]: share for row, share in shares}
        return self._above[least]

    def __getitem__(self, grade_id: str) -> float:
        return self._shares[grade_id]

    def __iter__(self) -> Iterator[str]:
        return iter(self._shares)

    def __len__(self) -> int:
        return len(self._ids)

    def items(self) -> ItemsView[str, float]:
        """Return the pairs, as a dictionary does."""
        return self._shares.items()

    def __repr__(self) -> str:
        return f"ShareById({len(self)} grades)"


class Readable:
    """The library as one technique sees it."""

    def __init__(self, melts: Melts, unlisted: UnlistedModel) -> None:
        self.melts = melts
        self.unlisted = unlisted
        self._lately: tuple[ReadingEvidence, ...] = ()

    def read(self, averaged: Averaged) -> "ReadingEvidence":
        """Return what a reading says; of those seen a moment ago it is known already.

        One piece asks for the same reading as bare metal, as the last of its series and as one of several
        stages, and a line that is typed on asks for it again.
        """
        for known in self._lately:
            if known.averaged == averaged:
                return known
        found = ReadingEvidence(averaged, self)
        # One assignment: another thread sees the old tuple or the new one.
        self._lately = (found, *self._lately[: LATELY - 1])
        return found


class Compiled:
    """Everything about a library that can be worked out before a piece is seen."""

    def __init__(self, library: GradeLibrary) -> None:
        self.bench: BenchModel = compile_bench(library)
        self.bases = frozenset(grade.base for grade in library.grades)
        self.kinds = kinds_of(library)
        self.by_kind = np.argsort(self.kinds.kind_of, kind="stable")
        """Rows of the grades in order of their kinds, shape (n_grades,)."""
        self.standing = self.kinds.standing(Prior.usual(library).shares(library), STANDING)
        """Rows of the commonest grades of each kind, in the same order."""
        self.ids: tuple[str, ...] = tuple(grade.grade_id for grade in library.grades)
        self._readable: dict[tuple[frozenset[str], bool], Readable] = {}
        self._shares: weakref.WeakKeyDictionary[Prior, FloatArray] = weakref.WeakKeyDictionary()

    def readable(self, library: GradeLibrary, profile: Profile) -> Readable:
        """Return the library as this technique sees it, worked out once."""
        key = (profile.unseen, profile.normalises)
        if key not in self._readable:
            melts = compile_melts(library, profile.unseen, normalises=profile.normalises)
            self._readable[key] = Readable(melts=melts, unlisted=compile_unlisted(library, melts))
        return self._readable[key]

    def shares(self, library: GradeLibrary, prior: Prior) -> FloatArray:
        """Return the frequency of each grade, shape (n_grades,), worked out once."""
        if prior not in self._shares:
            self._shares[prior] = prior.shares(library)
        return self._shares[prior]


_compiled: "weakref.WeakKeyDictionary[GradeLibrary, Compiled]" = weakref.WeakKeyDictionary()


def compiled_for(library: GradeLibrary) -> Compiled:
    """Return what was worked out for this library, made at the first call."""
    found = _compiled.get(library)
    if found is None:
        found = _compiled[library] = Compiled(library)
    return found


class ReadingEvidence:
    """What one technique's reading says, worked out as far as somebody asks."""

    def __init__(self, averaged: Averaged, readable: Readable) -> None:
        self.averaged = averaged
        self.readable = readable
        self.observed: Observed = observed(averaged, readable.melts.elements)

    @functools.cached_property
    def terms(self) -> FloatArray:
        """What the reading adds for each term of `readable.melts` [nats], shape (n_terms,)."""
        return term_log_density(self.readable.melts, self.observed)

    @functools.cached_property
    def of_grades(self) -> FloatArray:
        """The sum of it for every grade [nats], shape (n_grades,)."""
        return self.readable.melts.sums(self.terms, self.observed.is_told)

    @functools.cached_property
    def unlisted(self) -> FloatArray:
        """What each element says of an unlisted alloy of each kind [nats], shape (n_kinds, n_elements)."""
        return element_log_density(self.readable.unlisted, self.terms, self.observed)

    @functools.cached_property
    def most_stray(self) -> float:
        """The most that was read of an element that no grade names [wt %]."""
        named = self.readable.melts.elements
        return max((x for symbol, x in self.averaged.values.items() if symbol not in named), default=0.0)

    @property
    def n_reported(self) -> int:
        """How many elements were reported, found or not found."""
        return len(self.averaged.values) + len(self.averaged.below)

    def of_elements(self, rows: NDArray[np.int64]) -> FloatArray:
        """Return what each element adds for these grades [nats], shape (n_rows, n_elements)."""
        return np.asarray(self.terms[self.readable.melts.index[rows]])


@dataclass(frozen=True, kw_only=True, eq=False)
class Evidence:
    """All facts of one piece."""

    readings: tuple[ReadingEvidence, ...]
    bench: tuple[BenchFact, ...]
    claim: BenchFact | None
    by_hand: FloatArray
    """Log-likelihood of the bench facts and the claim for every grade [nats], shape (n_grades,)."""

    @functools.cached_property
    def from_readings(self) -> FloatArray:
        """The same of the readings."""
        return sum((reading.of_grades for reading in self.readings), np.zeros_like(self.by_hand))

    @functools.cached_property
    def log_likelihood(self) -> FloatArray:
        """Log-likelihood of everything for every grade [nats], shape (n_grades,)."""
        return self.from_readings + self.by_hand


def gather(
    facts: PieceFacts, library: GradeLibrary, compiled: Compiled, profiles: Mapping[str, Profile]
) -> Evidence:
    """Return what the facts say of every grade.

    Args:
        facts: All that is known of the piece; of several shots those from the last ground one on.
        library: The grades.
        compiled: What was worked out for that library.
        profiles: Key -> technique profile.
    """
    readings = tuple(
        compiled.readable(library, averaged.profile).read(averaged)
        for averaged in average(metal_shots(facts.shots), profiles)
    )
    values = {symbol: x for reading in readings for symbol, x in reading.averaged.values.items()}
    bench = tuple(bench_facts(facts.bench, compiled.bench, values))
    claim = None
    if facts.claim is not None and facts.claim.grade_ids:
        said = claim_log_likelihood(facts.claim, library, compiled.shares(library, Prior.usual(library)))
        near = f" ({facts.claim.text.strip()} is near it)" if facts.claim.is_near else ""
        name = f'"{facts.claim.label}"{near} claimed'
        claim = BenchFact(name=name, log_likelihood=said, named=facts.claim.grade_ids)
    by_hand = np.zeros(len(library))
    for fact in (*bench, *([claim] if claim else [])):
        by_hand += fact.log_likelihood
    return Evidence(readings=readings, bench=bench, claim=claim, by_hand=by_hand)
