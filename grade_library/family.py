"""What is sure of a piece even when its grade is open."""

from collections.abc import Mapping, Sequence

import numpy as np

from grade_library.grade import Grade
from grade_library.normal import FloatArray

SURE = 0.90
"""Share of the probability from which a family, series or group is said (the yard's usual idea of
settled)."""
TELLING = ("Ni", "Cr", "Mo", "Zn", "Sn", "Pb", "Si", "Mg", "Cu", "Al", "Mn", "Co", "V", "W")
"""Alloying elements worth naming with a family."""
WORTH_NAMING_WT_PCT = 0.8


def family_answer(
    grades: Sequence[Grade], probability: FloatArray, unlisted: float, values: Mapping[str, float]
) -> str:
    """Return what can be said of the piece as a whole, "" where not even its group is sure.

    Args:
        grades: All grades.
        probability: Of each, shape (n_grades,); with `unlisted` it sums to 1.
        unlisted: Probability that no grade fits.
        values: The reading [wt %], empty where there is none.

    The narrowest of grade, family, series and group that holds 90 % of what is listed is named, with the two
    main alloying elements of the reading.
    """
    if unlisted > 0.5:
        return ""
    at = np.flatnonzero(probability > 1e-4)
    share = probability[at] / max(float(probability.sum()), 1e-300)
    for name in (_family_name, _series_name, _group_name):
        sums: dict[str, float] = {}
        for i, p in zip(at, share, strict=True):
            words = name(grades[int(i)])
            sums[words] = sums.get(words, 0.0) + float(p)
        if not sums:
            return ""
        words = max(sums, key=lambda key: (sums[key], key))
        if sums[words] >= SURE:
            base = grades[int(np.argmax(probability))].base
            return ", ".join([words, *_telling(values, base)])
    return ""


def _family_name(grade: Grade) -> str:
    return _series_name(grade) if _has_numbered_series(grade) else grade.family


def _series_name(grade: Grade) -> str:
    if _has_numbered_series(grade):
        return f"{grade.series}-series {grade.group}"
    return grade.series if grade.series != grade.family else grade.family


def _group_name(grade: Grade) -> str:
    return grade.group


def _has_numbered_series(grade: Grade) -> bool:
    return grade.series[:1].isdigit() and len(grade.series) <= 4


def _telling(values: Mapping[str, float], base: str) -> list[str]:
    found = [(values[symbol], symbol) for symbol in TELLING if symbol != base and symbol in values]
    found = [item for item in sorted(found, reverse=True) if item[0] >= WORTH_NAMING_WT_PCT][:2]
    return [f"{symbol} about {value:.3g} %" for value, symbol in found]
