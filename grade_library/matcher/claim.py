"""What a stamp, a label or somebody's word says of a piece: strong evidence, but fallible."""

import numpy as np

from grade_library.facts import Claim
from grade_library.library import GradeLibrary
from grade_library.normal import FloatArray

RIGHT = 0.95
"""Share of claims that are right: stamps, labels and practised eyes (memory)."""
RIGHT_WHEN_GUESSED = 0.80
"""The same where the name was only close to what was typed (memory)."""
SAME_GROUP = 0.02
"""Of the wrong claims about a metal, the share that names this very grade of its own group ..."""
OTHER_GROUP = 0.002
"""... and of another group (memory: wrong names are mostly near names)."""
BROAD_SAME, BROAD_OTHER = 1.0, 0.2
"""A broad claim ("stainless") is met wrongly more often than a narrow one, in proportion to what it
covers."""
NOT_FIRST_MEANING = 0.6
"""Chance of a claim for a grade that the words can also mean, against the grade that bears the very name."""


def claim_log_likelihood(claim: Claim, library: GradeLibrary) -> FloatArray:
    """Return the logarithm of the chance of the claim given each grade [nats], shape (n_grades,)."""
    named = np.zeros(len(library), dtype=bool)
    for grade_id in claim.grade_ids:
        named[library.index_of(grade_id)] = True
    groups = {grade.group for grade, is_named in zip(library.grades, named, strict=True) if is_named}
    same_group = np.array([grade.group in groups for grade in library.grades])
    right = RIGHT if claim.is_exact else RIGHT_WHEN_GUESSED
    breadth = float(named.mean())
    wrong = np.where(same_group, SAME_GROUP + BROAD_SAME * breadth, OTHER_GROUP + BROAD_OTHER * breadth)
    by_name = np.full(len(library), right)
    if claim.label in claim.grade_ids:
        by_name *= NOT_FIRST_MEANING
        by_name[library.index_of(claim.label)] = right
    return np.log(np.where(named, by_name, (1.0 - right) * wrong))
