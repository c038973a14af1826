"""How a magnet is likely to answer, from the composition where that says more than the grade's label."""

import functools
from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from grade_library.bench.bench_tables import MAGNET_ODDS
from grade_library.bench.magnetism import (
    chance_pull_when_worked,
    curie_point_nickel_copper,
    ferrite_number,
    md30_nohara,
    wrc_equivalents,
)
from grade_library.grade import Grade, MagneticClass
from grade_library.library import GradeLibrary
from grade_library.matcher.melt import spreads_of
from grade_library.normal import FloatArray, normal_cdf

ELEMENTS = ("Cr", "Ni", "Mo", "Si", "Mn", "C", "N", "Cu", "Nb")
"""What ferrite number and cold-work martensite depend on."""
PULL_UNWORKED, PULL_WORKED = 0.04, 0.42
"""Chance that wrought austenitic stainless is found to pull: where no martensite can form, and where it
forms easily. Most faces that a magnet is laid on are little worked (memory)."""
STRONG_SHARE = 0.03
"""Of those that pull after cold work, the share that pulls strongly (memory: 301 springs and trim)."""
FERRITE_WEAK, FERRITE_STRONG = 2.0, 22.0
"""Ferrite numbers around which a casting begins to pull, and pulls strongly (memory; castings hold 5 to
20)."""
YARD_CELSIUS, YARD_SPREAD_CELSIUS = 18.0, 22.0
"""Temperature of pieces in a yard, and its spread with that of the Curie point of nickel-copper (memory)."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class MagnetModel:
    """Which grades are judged by composition, and what they usually hold."""

    by_label: FloatArray
    """Chances of no, weak and strong pull from the label, shape (n_grades, 3)."""
    wrought: NDArray[np.int64]
    """Rows of wrought austenitic stainless."""
    cast: NDArray[np.int64]
    """Rows of cast austenitic stainless."""
    nickel_copper: NDArray[np.int64]
    """Rows of nickel-copper alloys near their Curie point."""
    usual: Mapping[str, FloatArray]
    """Symbol -> usual content of each grade [wt %], shape (n_grades,)."""

    @property
    def by_composition(self) -> NDArray[np.int64]:
        """Rows of which a reading tells more than the label."""
        return np.concatenate([self.wrought, self.cast, self.nickel_copper])


def compile_magnet(library: GradeLibrary) -> MagnetModel:
    """Return what a library's grades say of the magnet."""
    spreads = spreads_of(library)
    columns = {symbol: j for j, symbol in enumerate(library.elements)}
    zero = np.zeros(len(library))
    return MagnetModel(
        by_label=np.array([MAGNET_ODDS[grade.magnet] for grade in library.grades]),
        wrought=_rows(library, _is_wrought_austenitic),
        cast=_rows(library, _is_cast_austenitic),
        nickel_copper=_rows(library, _is_near_its_curie_point),
        usual={
            symbol: spreads.mean[:, columns[symbol]] if symbol in columns else zero for symbol in ELEMENTS
        },
    )


def magnet_odds(model: MagnetModel, values: Mapping[str, float]) -> FloatArray:
    """Return the chances of no, weak and strong pull given each grade and the reading, shape (n_grades, 3).

    Args:
        model: What the grades say.
        values: The reading [wt %]; an element that is not in it is taken at the grade's usual content, so
            that carbon and nitrogen, which an analyser rarely sees, come from the grade.
    """
    return _odds(model, tuple((symbol, values[symbol]) for symbol in ELEMENTS if symbol in values))


@functools.lru_cache(maxsize=8)
def _odds(model: MagnetModel, read: tuple[tuple[str, float], ...]) -> FloatArray:
    """Return the same, worked out once for a reading: every answer that a magnet may give is asked of it."""
    values = dict(read)
    odds = model.by_label.copy()
    for rows, chances in ((model.wrought, _of_wrought), (model.cast, _of_castings)):
        odds[rows] = chances(
            {
                symbol.lower(): np.full(len(rows), values[symbol])
                if symbol in values
                else model.usual[symbol][rows]
                for symbol in ELEMENTS
            }
        )
    if "Cu" in values:
        odds[model.nickel_copper] = _of_nickel_copper(values["Cu"])
    odds.flags.writeable = False
    return odds


def _of_wrought(of: Mapping[str, FloatArray]) -> FloatArray:
    """Return the chances for wrought austenitic stainless by cold-work martensite, shape (n_grades, 3)."""
    names = ("cr", "ni", "mo", "si", "mn", "c", "n", "cu", "nb")
    cr, ni, mo, si, mn, c, n, cu, nb = (of[name] for name in names)
    worked = chance_pull_when_worked(md30_nohara(cr=cr, ni=ni, mo=mo, si=si, mn=mn, c=c, n=n, cu=cu, nb=nb))
    pulls = PULL_UNWORKED + (PULL_WORKED - PULL_UNWORKED) * worked
    strongly = STRONG_SHARE * worked * pulls + 0.004
    return np.stack([1.0 - pulls, pulls - strongly, strongly], axis=1)


def _of_castings(of: Mapping[str, FloatArray]) -> FloatArray:
    """Return the chances for cast austenitic stainless by its ferrite number, shape (n_grades, 3)."""
    cr, ni, mo, nb, c, n, cu = (of[name] for name in ("cr", "ni", "mo", "nb", "c", "n", "cu"))
    ferrite = ferrite_number(*wrc_equivalents(cr=cr, ni=ni, mo=mo, nb=nb, c=c, n=n, cu=cu))
    pulls = 0.05 + 0.9 * normal_cdf((ferrite - FERRITE_WEAK) / 3.0)
    strongly = pulls * (0.02 + 0.9 * normal_cdf((ferrite - FERRITE_STRONG) / 8.0))
    return np.stack([1.0 - pulls, pulls - strongly, strongly], axis=1)


def _of_nickel_copper(cu_wt_pct: float) -> tuple[float, float, float]:
    """Return the chances for a nickel-copper alloy by its Curie point."""
    curie = curie_point_nickel_copper(min(cu_wt_pct, 99.0))
    above = np.array([(curie - YARD_CELSIUS) / YARD_SPREAD_CELSIUS])
    pulls = float(np.clip(normal_cdf(above)[0], 0.03, 0.97))
    return 1.0 - pulls, 0.6 * pulls, 0.4 * pulls


def _rows(library: GradeLibrary, belongs: Callable[[Grade], bool]) -> NDArray[np.int64]:
    return np.array([i for i, grade in enumerate(library.grades) if belongs(grade)], dtype=np.int64)


def _is_wrought_austenitic(grade: Grade) -> bool:
    is_soft = grade.magnet in {MagneticClass.NON, MagneticClass.WEAK_WHEN_WORKED}
    return grade.group == "stainless" and not grade.is_cast and is_soft


def _is_cast_austenitic(grade: Grade) -> bool:
    is_soft = grade.magnet in {MagneticClass.NON, MagneticClass.WEAK, MagneticClass.WEAK_WHEN_WORKED}
    return grade.group == "stainless" and grade.is_cast and is_soft


def _is_near_its_curie_point(grade: Grade) -> bool:
    return grade.base == "Ni" and "Cu" in grade.limits and grade.magnet is MagneticClass.VARIABLE
