"""What metals the named materials hold."""

import math
from dataclasses import dataclass

import numpy as np

from grade_library.library import GradeLibrary
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
    shape = (len(library.dictionary.materials), len(columns))
    mean, spread = np.zeros(shape), np.zeros(shape)
    for row, material in enumerate(library.dictionary.materials):
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
