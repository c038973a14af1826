"""The sums of the bays as text that can be kept, and what they hang on besides the ledger."""

import hashlib
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import numpy as np

from console.yard.chemistry.composition import BaySums
from console.yard.metals import metals_of
from console.yard.yard import Yard
from grade_library.library import GradeLibrary

FORM = 3
"""Changes with the arithmetic of the sums, so that sums of an older program are reckoned anew."""
_ARRAYS = ("weighted", "own", "bias", "squares", "cross")
_NUMBERS = ("mass_g", "pieces", "refused_g", "mass_squares")


def mark_of(yard: Yard, library: GradeLibrary) -> str:
    """Return a mark that differs when the same pieces would come to other sums.

    That is with other grades, other bays or buyers, and another trust in the techniques.
    """
    techniques = [
        (key, one.usual.a, one.usual.b, sorted((symbol, m.a, m.b) for symbol, m in one.elements.items()))
        for key, one in sorted(yard.techniques.items())
    ]
    bays = [(bay.code, bay.rules_mark) for bay in yard.bays]
    hashed = hashlib.sha256(repr((FORM, library.elements, techniques, bays)).encode())
    hashed.update(repr([grade.grade_id for grade in library.grades]).encode())
    hashed.update(repr([material.material_id for material in library.dictionary.materials]).encode())
    metals = metals_of(library)
    for array in (metals.mean, metals.spread):
        hashed.update(array.tobytes())
    return hashed.hexdigest()


def sums_json(sums: BaySums) -> dict[str, Any]:
    """Return the sums of one bay, JSON-ready, every digit kept."""
    row: dict[str, Any] = {name: getattr(sums, name) for name in _NUMBERS}
    row |= {name: getattr(sums, name).tolist() for name in _ARRAYS}
    # Most grades weigh alike on every element; a single number stands for that.
    row["by_grade"] = {
        str(grade): float(weights[0]) if (weights == weights[0]).all() else weights.tolist()
        for grade, weights in sums.by_grade.items()
    }
    return row


def sums_from(row: Mapping[str, Any], yard: Yard, library: GradeLibrary) -> BaySums:
    """Return the sums that `sums_json` wrote.

    Raises:
        KeyError: Something is missing.
        ValueError: Something is no number, or an array is not as long as the library has elements.
    """
    count = len(library.elements)
    arrays: dict[str, Any] = {name: np.array(row[name], dtype=np.float64) for name in _ARRAYS}
    by_grade = {
        int(grade): np.broadcast_to(np.array(weights, dtype=np.float64), (count,))
        for grade, weights in row["by_grade"].items()
    }
    if any(array.shape != (count,) for array in arrays.values()):
        raise ValueError(f"sums of another library: needs {count} elements")
    empty = BaySums.empty(library, yard.techniques)
    figures: dict[str, Any] = {name: float(row[name]) for name in _NUMBERS}
    return replace(empty, by_grade=by_grade, **figures, **arrays)
