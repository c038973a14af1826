"""What metals a named material holds, and by which rows of the arrays it is counted."""

import functools
import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np

from grade_library.library import GradeLibrary
from grade_library.matcher.prior import Prior
from grade_library.material import Material
from grade_library.normal import FloatArray


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class NamedMetal:
    """Mean and standard spread of answers, element by element [wt %], each (n, n_elements)."""

    mean: FloatArray
    spread: FloatArray


def named_metal(library: GradeLibrary) -> NamedMetal:
    """Return what every material holds [wt % of the whole piece], shape (n_materials, n_elements).

    A share is spread evenly over its stated range, so its standard spread is the range over the root of 12.
    What is no metal is nobody's share: a row adds up to less than 100.
    """
    columns = {symbol: column for column, symbol in enumerate(library.elements)}
    shape = (len(library.materials), len(columns))
    mean, spread = np.zeros(shape), np.zeros(shape)
    for row, material in enumerate(library.materials):
        for symbol, low, high in _shares(material):
            if symbol in columns:
                mean[row, columns[symbol]] = (low + high) / 2.0
                spread[row, columns[symbol]] = (high - low) / math.sqrt(12.0)
    total = mean.sum(axis=1, keepdims=True)
    return NamedMetal(mean=mean * np.minimum(1.0, 100.0 / np.maximum(total, 1.0)), spread=spread)


def _shares(material: Material) -> list[tuple[str, float, float]]:
    return [
        (symbol, limit.low or 0.0, 100.0 if limit.high is None else limit.high)
        for symbol, limit in material.shares.items()
    ]


@functools.lru_cache(maxsize=2048)
def rows_of(library: GradeLibrary, answer_id: str) -> Mapping[int, float]:
    """Return the rows by which a grade or material is counted, with the part that each has of it.

    A grade is its own row. A material with known shares is its row below the grades; clean metal without them
    is what its grades are at their usual frequencies.

    Raises:
        KeyError: The library knows neither grade nor material of that id.
    """
    material = library.material(answer_id)
    if material is None:
        return MappingProxyType({library.index_of(answer_id): 1.0})
    made_of = library.made_of[answer_id]
    if material.shares or not made_of:
        return MappingProxyType({len(library) + library.materials.index(material): 1.0})
    rows = [library.index_of(grade_id) for grade_id in made_of]
    usual = Prior.usual(library).shares(library)[rows]
    parts = usual / usual.sum() if usual.sum() > 0.0 else np.full(len(rows), 1.0 / len(rows))
    return MappingProxyType(dict(zip(rows, parts.tolist(), strict=True)))
