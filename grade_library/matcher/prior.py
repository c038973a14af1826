"""How often each grade is met before anything is known of a piece."""

import functools
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from importlib import resources
from types import MappingProxyType
from typing import Any

import numpy as np

from grade_library.grade import Grade
from grade_library.library import GradeLibrary
from grade_library.normal import FloatArray

FLOOR = 0.2
"""Share of the prior that the usual frequencies keep whatever a yard has counted, so that the rare stays
possible."""
TRUST_AFTER_PIECES = 200.0
"""A yard's own counts weigh as much as the usual frequencies after this many pieces."""
TRACE_BERYLLIUM_WT_PCT = 0.1
"""Copper with a maximum of beryllium up to this is not alloyed with it [wt %]."""
OWN_GRADE_SHARE = 0.7
"""Of a yard's counts, what goes to the very grade; the rest goes to its family."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Prior:
    """Relative frequency of grades."""

    weights: Mapping[str, float] = field(default_factory=dict)
    """Grade id -> relative frequency, > 0."""
    otherwise: float = 1.0
    """The same for a grade that is not named, > 0."""
    label: str = "usual in yards"
    """Whose frequencies these are, for the reasons."""
    counted: int = 0
    """Pieces behind it; 0 for the usual frequencies."""

    @classmethod
    def flat(cls) -> "Prior":
        """Return the prior that holds every grade equally likely: the prior switched off."""
        return cls(label="all grades alike")

    @classmethod
    def usual(cls, library: GradeLibrary) -> "Prior":
        """Return the usual frequencies in a mixed yard, from data/usual.toml."""
        return _usual(library)

    @classmethod
    def from_counts(
        cls, counts: Mapping[str, int], library: GradeLibrary, *, floor: float = FLOOR
    ) -> "Prior":
        """Return the frequencies that a yard has met itself, mixed with the usual ones.

        Args:
            counts: Grade id -> pieces counted in closed runs; grades that the library no longer has are left
                out.
            library: The grades.
            floor: Least share of the usual frequencies, 0..1.
        """
        own = np.array([float(max(counts.get(grade.grade_id, 0), 0)) for grade in library.grades])
        usual = cls.usual(library)
        base = usual.shares(library)
        total = own.sum()
        if total <= 0.0:
            return usual
        families = np.unique([grade.family for grade in library.grades], return_inverse=True)[1]
        in_family = np.bincount(families, own)[families] * base / np.bincount(families, base)[families]
        learned = (OWN_GRADE_SHARE * own + (1.0 - OWN_GRADE_SHARE) * in_family) / total
        kept = max(floor, TRUST_AFTER_PIECES / (TRUST_AFTER_PIECES + total))
        mixed = kept * base + (1.0 - kept) * learned
        return cls(
            weights=MappingProxyType(
                {grade.grade_id: float(w) for grade, w in zip(library.grades, mixed, strict=True)}
            ),
            label="met in this yard",
            counted=int(total),
        )

    def shares(self, library: GradeLibrary) -> FloatArray:
        """Return the frequency of each grade, shape (n_grades,), sum 1."""
        return _shares(self, library)


@functools.lru_cache(maxsize=8)
def _shares(prior: Prior, library: GradeLibrary) -> FloatArray:
    weights = np.array([prior.weights.get(grade.grade_id, prior.otherwise) for grade in library.grades])
    shares = np.asarray(weights / weights.sum())
    shares.setflags(write=False)  # everybody gets the same
    return shares


@functools.cache
def _usual_table() -> Mapping[str, Any]:
    data = resources.files("grade_library") / "data" / "usual.toml"
    return tomllib.loads(data.read_text("utf-8"))


@functools.lru_cache(maxsize=8)
def _usual(library: GradeLibrary) -> Prior:
    table = _usual_table()
    groups = table["groups"]
    in_group: dict[str, float] = {}
    for grade in library.grades:
        in_group[grade.group] = in_group.get(grade.group, 0.0) + _commonness(grade, table)
    weights = {
        grade.grade_id: groups.get(grade.group, table["other-groups"])
        * _commonness(grade, table)
        / in_group[grade.group]
        for grade in library.grades
    }
    return Prior(weights=MappingProxyType(weights))


def _commonness(grade: Grade, table: Mapping[str, Any]) -> float:
    """Return how much oftener than a rare grade of its group a grade is met."""
    beryllium = grade.limits.get("Be")
    holds_beryllium = beryllium is not None and (beryllium.high or 0.0) > TRACE_BERYLLIUM_WT_PCT
    rare = table["beryllium-copper"] if grade.base == "Cu" and holds_beryllium else table["rare"]
    return float(table["common"].get(grade.grade_id, rare))
