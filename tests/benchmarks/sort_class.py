"""What a yard sorts by, of a metal and of an answer."""

from collections import Counter

from grade_library.library import GradeLibrary
from grade_library.verdict import FamilyShare, Verdict
from tests.benchmarks.certified import Material
from tests.benchmarks.judging import sorting_class

SortClass = tuple[str, str]
ABSENT = {"SUB-JPCA-KOHNO": ("stainless", "300")}
"""Sort class of a metal that the library lacks, where its group alone does not say it."""


def true_class(metal: Material, library: GradeLibrary) -> SortClass:
    """Return the class that a metal belongs to."""
    if metal.grade_id is not None:
        return sorting_class(library.grade(metal.grade_id))
    return ABSENT.get(metal.item_id, (metal.group, ""))


def class_shares(verdict: Verdict, library: GradeLibrary) -> dict[SortClass, float]:
    """Return the probability of every class: of its listed grades and of what is unlisted in its families."""
    shares: dict[SortClass, float] = {}
    for grade, share in zip(library.grades, verdict.share_by_id.values(), strict=False):
        if share > 1e-9:
            key = sorting_class(grade)
            shares[key] = shares.get(key, 0.0) + share
    for member in verdict.families:
        key = _class_of_family(member, library)
        shares[key] = shares.get(key, 0.0) + member.unlisted
    return shares


def _class_of_family(member: FamilyShare, library: GradeLibrary) -> SortClass:
    """Return the class that most grades of a family belong to."""
    found = Counter(
        sorting_class(grade)
        for grade in library.grades
        if (grade.group, grade.family, grade.series) == (member.group, member.family, member.series)
    )
    return max(found, key=lambda key: (found[key], key))
