"""What a stamp, a label or somebody's word says of a piece: strong evidence, but fallible."""

import functools
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from importlib import resources
from typing import Any

import numpy as np
from numpy.typing import NDArray

from grade_library.facts import Claim
from grade_library.grade import Grade
from grade_library.library import GradeLibrary
from grade_library.normal import FloatArray

NOT_FIRST_MEANING = 0.6
"""Chance of a claim for a grade that the words can also mean, against the grade that bears the very name."""
LEAST_PART = 0.01
"""Of the wrong names within a group, or within what a metal is mistaken for, the least part that falls on any
one (memory: wrong names are mostly the common ones)."""
OTHER_GROUP = 0.1
"""Of the wrong names that nothing explains, the part that is of another group (memory)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Mistake:
    """What is taken for what."""

    true: frozenset[str]
    """Groups, families or series that the piece is of."""
    called: frozenset[str]
    """Groups, families or series that it is called."""
    chance: float
    """Of the pieces that are such, how many are called so, 0..1."""


@functools.cache
def _table() -> Mapping[str, Any]:
    data = resources.files("grade_library") / "data" / "claims.toml"
    return tomllib.loads(data.read_text("utf-8"))


@functools.cache
def mistakes() -> tuple[Mistake, ...]:
    """Return what is taken for what, from data/claims.toml."""
    return tuple(
        Mistake(true=frozenset(row["is"]), called=frozenset(row["called"]), chance=float(row["chance"]))
        for row in _table()["mistaken"]
    )


def claim_log_likelihood(claim: Claim, library: GradeLibrary, usual: FloatArray) -> FloatArray:
    """Return the logarithm of the chance of the claim given each grade [nats], shape (n_grades,).

    A grade is called by its own name, or is taken for something else as data/claims.toml tells; what nothing
    explains is rare, and rarer of another group. Which wrong name it gets goes by how common the names are.

    Args:
        claim: What was said.
        library: The grades.
        usual: How often each grade is met in a mixed yard, shape (n_grades,), sum 1.
    """
    table = _table()
    rows = np.array([library.index_of(grade_id) for grade_id in sorted(claim.grade_ids)])
    named = np.zeros(len(library), dtype=bool)
    named[rows] = True
    right = float(table["right"] if claim.is_exact else table["guessed"])
    by_name = np.full(len(library), right)
    if claim.label in claim.grade_ids:
        by_name *= NOT_FIRST_MEANING
        by_name[library.index_of(claim.label)] = right
    called = [library.grades[row] for row in rows.tolist()]
    in_group = _rows(library, frozenset(grade.group for grade in called))
    strange = float(table["rest"]) + (0.0 if claim.is_exact else 1.0 - right)
    unexplained = np.where(in_group, strange, strange * OTHER_GROUP) * _part(named, in_group, usual)
    wrong = np.maximum(unexplained, _taken_for(called, named, library, usual))
    return np.asarray(np.log(np.where(named, by_name, wrong)))


def _part(named: NDArray[np.bool_], among: NDArray[np.bool_], usual: FloatArray) -> float:
    """Return the part of the wrong names among some grades that falls on those named."""
    return max(float(usual[named & among].sum() / usual[among].sum()), LEAST_PART)


def _taken_for(
    called: list[Grade], named: NDArray[np.bool_], library: GradeLibrary, usual: FloatArray
) -> FloatArray:
    """Return how often a piece of each grade is taken for the very thing called, shape (n_grades,)."""
    chance = np.zeros(len(library))
    for mistake in mistakes():
        if all(_is_one_of(grade, mistake.called) for grade in called):
            part = _part(named, _rows(library, mistake.called), usual)
            chance = np.maximum(chance, np.where(_rows(library, mistake.true), mistake.chance * part, 0.0))
    return chance


@functools.lru_cache(maxsize=64)
def _rows(library: GradeLibrary, names: frozenset[str]) -> NDArray[np.bool_]:
    return np.array([_is_one_of(grade, names) for grade in library.grades])


def _is_one_of(grade: Grade, names: frozenset[str]) -> bool:
    return grade.group in names or grade.family in names or grade.series in names
