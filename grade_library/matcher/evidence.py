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


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Readable:
    """The library as one technique sees it."""

    melts: Melts
    unlisted: UnlistedModel


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


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ReadingEvidence:
    """What one technique's reading says."""

    averaged: Averaged
    readable: Readable
    observed: Observed
    terms: FloatArray
    """What the reading adds for each term of `readable.melts` [nats], shape (n_terms,)."""
    unlisted: FloatArray
    """What each element says of an unlisted alloy of each kind [nats], shape (n_kinds, n_elements)."""

    @property
    def n_reported(self) -> int:
        """How many elements were reported, found or not found."""
        return len(self.averaged.values) + len(self.averaged.below)

    def of_elements(self, rows: NDArray[np.int64]) -> FloatArray:
        """Return what each element adds for these grades [nats], shape (n_rows, n_elements)."""
        return np.asarray(self.terms[self.readable.melts.index[rows]])


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Evidence:
    """All facts of one piece."""

    readings: tuple[ReadingEvidence, ...]
    bench: tuple[BenchFact, ...]
    claim: BenchFact | None
    from_readings: FloatArray
    """Log-likelihood of the readings for every grade [nats], shape (n_grades,)."""
    by_hand: FloatArray
    """The same of the bench facts and the claim."""

    @property
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
        _read(averaged, compiled.readable(library, averaged.profile))
        for averaged in average(metal_shots(facts.shots), profiles)
    )
    from_readings = np.zeros(len(library))
    for reading in readings:
        from_readings += reading.readable.melts.sums(reading.terms)
    values = {symbol: x for reading in readings for symbol, x in reading.averaged.values.items()}
    bench = tuple(bench_facts(facts.bench, compiled.bench, values))
    claim = None
    if facts.claim is not None:
        said = claim_log_likelihood(facts.claim, library, compiled.shares(library, Prior.usual(library)))
        claim = BenchFact(name=f'"{facts.claim.label}" claimed', log_likelihood=said)
    by_hand = np.zeros(len(library))
    for fact in (*bench, *([claim] if claim else [])):
        by_hand += fact.log_likelihood
    return Evidence(readings=readings, bench=bench, claim=claim, from_readings=from_readings, by_hand=by_hand)


def _read(averaged: Averaged, readable: Readable) -> ReadingEvidence:
    laid_out = observed(averaged, readable.melts.elements)
    terms = term_log_density(readable.melts, laid_out)
    return ReadingEvidence(
        averaged=averaged,
        readable=readable,
        observed=laid_out,
        terms=terms,
        unlisted=element_log_density(readable.unlisted, terms, laid_out),
    )
