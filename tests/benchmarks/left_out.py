"""What the core says of metal whose whole family was taken out of the library.

Each family that real metal belongs to is left out in turn, with its grades and its unlisted member; then its
metal is read. What is left of the group should still be named, and a settled placement should be into a bay
that takes the metal. Where the group goes with the family, the metal should be of no family.
"""

from collections import defaultdict
from collections.abc import Iterable

from grade_library.library import GradeLibrary
from grade_library.verdict import Verdict
from tests.benchmarks.certified import Material

ALIKE = {"brass": "copper alloy", "bronze": "copper alloy", "copper": "copper alloy"}
"""Groups whose border no analyser draws, as `judging.sorting_class` has it."""


def group_of(group: str) -> str:
    """Return the group that a metal is judged by."""
    return ALIKE.get(group, group)


def by_family(metals: Iterable[Material], library: GradeLibrary) -> dict[str, list[Material]]:
    """Return the metals of each family, of those that the library lists."""
    found: dict[str, list[Material]] = defaultdict(list)
    for metal in metals:
        if metal.grade_id is not None:
            found[library.grade(metal.grade_id).family].append(metal)
    return dict(found)


def without(library: GradeLibrary, family: str) -> GradeLibrary:
    """Return the library without the grades of a family."""
    return GradeLibrary([grade for grade in library.grades if grade.family != family], library.sources)


def group_shares(verdict: Verdict) -> dict[str, float]:
    """Return the probability of every group, listed grades and unlisted members together; "" for no metal of
    any family."""
    shares: dict[str, float] = defaultdict(float)
    for member in verdict.families:
        shares[group_of(member.group)] += member.probability
    shares[""] = verdict.no_family
    return dict(shares)


def truth_of(metal: Material, left: GradeLibrary) -> str:
    """Return the group that should lead once the family is gone; "" where its group went with it."""
    group = group_of(metal.group)
    return group if any(group_of(grade.group) == group for grade in left.grades) else ""
