"""Which metal several bays take, and which none does, over the whole grade library."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from console.yard.refused_elements import cannot_keep
from console.yard.yard import Bay, Yard
from grade_library.grade import GROUPS, Grade
from grade_library.library import GradeLibrary


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """Some grades of one series, of which the same is true."""

    group: str
    family: str
    series: str
    """Equal to the family where it has none."""
    grade_ids: tuple[str, ...]
    """Sorted; never empty."""
    of: int
    """How many grades of the library the series has."""
    bay_codes: tuple[str, ...]
    """In an overlap: the bays that take them, the dearest first. In a gap: the bays that would accept them
    by name, but refuse them."""

    @property
    def is_whole(self) -> bool:
        """True when these are all grades of the series."""
        return len(self.grade_ids) == self.of

    @property
    def label(self) -> str:
        """What it is called: "aluminium wrought 6xxx", "leaded brass"."""
        return self.family if self.series == self.family else f"{self.family} {self.series}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Survey:
    """How the bays cover the library."""

    overlaps: tuple[Part, ...]
    """In the order of the library's groups, then by family and series."""
    gaps: tuple[Part, ...]
    taken: int
    """How many grades at least one bay takes."""
    total: int


def can_take(bay: Bay, grade: Grade) -> bool:
    """Return True when a clean piece of the grade can go to the bay: accepted, not refused, limits kept."""
    return bay.takes(grade.grade_id) and not any(
        cannot_keep(grade, symbol, most) for symbol, most in bay.element_limits.items()
    )


def survey(yard: Yard, library: GradeLibrary) -> Survey:
    """Return which grades several bays take and which none takes; the hold bay does not count.

    Surfaces, coatings, forms and attachments are left out: they depend on the piece, not on its grade.
    """
    bays = sorted((bay for bay in yard.bays if not bay.is_hold), key=lambda bay: -bay.price_per_kg)
    overlaps: list[tuple[Grade, tuple[str, ...]]] = []
    gaps: list[tuple[Grade, tuple[str, ...]]] = []
    for grade in library.grades:
        takers = tuple(bay.code for bay in bays if can_take(bay, grade))
        if len(takers) > 1:
            overlaps.append((grade, takers))
        elif not takers:
            refusing = tuple(bay.code for bay in bays if grade.grade_id in bay.grade_ids)
            gaps.append((grade, refusing))
    sizes = Counter(_series_of(grade) for grade in library.grades)
    return Survey(
        overlaps=_parts(overlaps, sizes),
        gaps=_parts(gaps, sizes),
        taken=len(library) - len(gaps),
        total=len(library),
    )


def _series_of(grade: Grade) -> tuple[str, str, str]:
    return grade.group, grade.family, grade.series


def _parts(
    found: Iterable[tuple[Grade, tuple[str, ...]]], sizes: Counter[tuple[str, str, str]]
) -> tuple[Part, ...]:
    """Put the grades of one series with the same bays together."""
    gathered: dict[tuple[tuple[str, str, str], tuple[str, ...]], list[str]] = {}
    for grade, codes in found:
        gathered.setdefault((_series_of(grade), codes), []).append(grade.grade_id)
    parts = [
        Part(
            group=series[0],
            family=series[1],
            series=series[2],
            grade_ids=tuple(sorted(ids)),
            of=sizes[series],
            bay_codes=codes,
        )
        for (series, codes), ids in gathered.items()
    ]
    order = {group: place for place, group in enumerate(GROUPS)}
    return tuple(
        sorted(parts, key=lambda part: (order[part.group], part.family, part.series, part.bay_codes))
    )
