"""Which checks must not be proposed on a piece because of what it may hold."""

import functools
from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from console.yard.metals import with_kinds
from console.yard.next_check.checks import CheckKind
from grade_library.cautions import LIKELY, POSSIBLE, cautions_for, cautions_of_grade
from grade_library.facts import PieceFacts, Surface
from grade_library.library import GradeLibrary
from grade_library.normal import FloatArray
from grade_library.verdict import Verdict

DUSTY = (CheckKind.FILE, CheckKind.SPARK, CheckKind.GRIND)
"""Checks that make dust or heat."""
STOPS_EVERYTHING = ("RAD", "CYL", "LI", "MUN", "HG")
"""Cautions with which nothing at all is tried on the piece."""
DUST_IS_POISON = ("BE", "CD", "RAD")
"""Cautions with which no dust is made even where the hazard is only possible."""
KEPT_APART = ("BE", "CD", "NAK")
"""Cautions with which a piece is kept apart until it is settled."""
_STOPS: dict[CheckKind, tuple[str, ...]] = {
    CheckKind.SCRATCH: ("BE", "CD"),
    CheckKind.FILE: ("BE", "CD"),
    CheckKind.GRIND: ("BE", "CD", "MG"),
    CheckKind.SPARK: ("BE", "CD", "MG", "TI"),
    CheckKind.WATER: ("NAK",),
}
"""Cautions with which one check is not proposed; each says so in its own words."""
_NEVER_SPARKED = frozenset({Surface.GALVANISED, Surface.PAINTED, Surface.OILY})
"""The caution on the spark test names these surfaces."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Hazards:
    """What a piece may hold, as far as it forbids checks."""

    standing: Mapping[str, str]
    """Caution id -> title, of those that stand with the piece."""
    when_dusty: Mapping[str, str]
    """The same once dust or heat is made."""
    never_sparked: str
    """A surface on which no spark test is made; empty where there is none."""

    @classmethod
    def of(
        cls,
        verdict: Verdict,
        facts: PieceFacts,
        library: GradeLibrary,
        rows: NDArray[np.int64],
        shares: FloatArray,
        text: str,
    ) -> "Hazards":
        """Return the hazards of a piece.

        A hazard counts from `LIKELY` on: as long as the grades that carry it have that much probability
        together, or a reading or a word speaks for it. Where its dust is poison, it counts for dust from
        `POSSIBLE` on.

        Args:
            verdict: What the piece can be.
            facts: Readings and surfaces.
            library: The grades.
            rows: Metals at hand, as rows of `metals_of`.
            shares: Their probabilities.
            text: Words typed about the piece.
        """
        # Metal is judged by all grades at hand, not by the few that are shown.
        by_hand_and_word = cautions_for(verdict=replace(verdict, candidates=()), facts=facts, text=text)
        standing = {caution.caution_id: caution.title for caution in by_hand_and_word}
        dusty = dict(standing)
        carriers = _carriers(library)
        carried = shares @ carriers.of_metals[rows]
        for (caution_id, title), share in zip(carriers.titles.items(), carried.tolist(), strict=True):
            if share >= LIKELY:
                standing[caution_id] = title
            if share >= (POSSIBLE if caution_id in DUST_IS_POISON else LIKELY):
                dusty[caution_id] = title
        covered = sorted(facts.bench.surfaces & _NEVER_SPARKED)
        return cls(
            standing=standing,
            when_dusty=dusty,
            never_sparked=covered[0].value if covered else "",
        )

    @property
    def stops_everything(self) -> str:
        """Title of the caution with which nothing at all is tried; empty where there is none."""
        return next((self.standing[one].casefold() for one in STOPS_EVERYTHING if one in self.standing), "")

    @property
    def stops_placing(self) -> bool:
        """A piece on hold must stay there: it may be of one of the hazards that are kept apart."""
        return any(caution_id in self.standing for caution_id in (*STOPS_EVERYTHING, *KEPT_APART))

    def why_not(self, kind: CheckKind) -> str:
        """Return why a check must not be proposed; empty when it may be."""
        if kind is CheckKind.SPARK and self.never_sparked:
            return f"never on a {self.never_sparked} piece"
        found = self.when_dusty if kind in DUSTY else self.standing
        stops = [
            caution_id for caution_id in (*STOPS_EVERYTHING, *_STOPS.get(kind, ())) if caution_id in found
        ]
        return f"caution: {found[stops[0]].casefold()}" if stops else ""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Carriers:
    """Which metals carry the hazard of each caution."""

    titles: Mapping[str, str]
    """Caution id -> title."""
    of_metals: FloatArray
    """1 where a metal carries the hazard, for an unlisted alloy how often the grades of its kind do, shape
    (n_metals, n_cautions)."""


@functools.lru_cache(maxsize=4)
def _carriers(library: GradeLibrary) -> _Carriers:
    of_grades = [cautions_of_grade(grade) for grade in library.grades]
    titles = {caution.caution_id: caution.title for cautions in of_grades for caution in cautions}
    carried = [{caution.caution_id for caution in cautions} for cautions in of_grades]
    flags = np.array([[float(one in ids) for ids in carried] for one in titles])
    return _Carriers(titles=titles, of_metals=np.ascontiguousarray(with_kinds(library, flags).T))
