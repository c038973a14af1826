"""The hypothesis that no grade of the library fits: alloys of each group with every element drawn on its
own."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from grade_library.library import GradeLibrary
from grade_library.matcher.likelihood import REST_WEIGHT, Observed
from grade_library.matcher.melt import Melts
from grade_library.normal import FloatArray

BROAD_SHARE = 0.15
"""Share of unlisted alloys whose content of an element is like nothing in the group: log-uniform up to 100
%."""
LEAST_WT_PCT = 0.02
"""Where the log-uniform spread begins to flatten [wt %]."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class UnlistedModel:
    """For every group and element, how often each term occurs: the spread of an alloy that shares the
    group's habits."""

    groups: tuple[str, ...]
    group_of: NDArray[np.int64]
    """Group of each grade, shape (n_grades,)."""
    terms: NDArray[np.int64]
    """Terms in order of group and element, shape (n_entries,)."""
    share: FloatArray
    """How often each occurs in its group, shape (n_entries,)."""
    starts: NDArray[np.int64]
    """Where each group and element begins among the entries, shape (n_groups * n_elements,)."""
    rest_share: FloatArray
    """Share of the group's grades in which the element is the rest, shape (n_groups, n_elements)."""


def compile_unlisted(library: GradeLibrary, melts: Melts) -> UnlistedModel:
    """Return the spreads of unlisted alloys of each group."""
    groups = tuple(sorted({grade.group for grade in library.grades}))
    group_of = np.array([groups.index(grade.group) for grade in library.grades])
    n_elements = len(melts.elements)
    terms, share, starts = [], [], [0]
    rest_share = np.zeros((len(groups), n_elements))
    for k in range(len(groups)):
        rows = melts.index[group_of == k]
        rest_share[k] = melts.is_rest[rows].mean(axis=0)
        for j in range(n_elements):
            unique, counts = np.unique(rows[:, j], return_counts=True)
            starts.append(starts[-1] + len(unique))
            terms.append(unique)
            share.append(counts / counts.sum())
    return UnlistedModel(
        groups=groups,
        group_of=group_of,
        terms=np.concatenate(terms),
        share=np.concatenate(share),
        starts=np.array(starts[:-1]),
        rest_share=rest_share,
    )


def element_log_density(model: UnlistedModel, terms: FloatArray, observed: Observed) -> FloatArray:
    """Return what each element says of an unlisted alloy of each group [nats], shape (n_groups, n_elements).

    Args:
        model: The spreads.
        terms: What the reading adds for each term [nats], from `likelihood.term_log_density`.
        observed: The reading.
    """
    entries = np.exp(terms[model.terms])
    entries *= model.share
    marginal = np.add.reduceat(entries, model.starts).reshape(len(model.groups), -1)
    has_value = ~np.isnan(observed.value)
    broad = 1.0 / ((np.where(has_value, observed.value, 0.0) + LEAST_WT_PCT) * np.log(100.0 / LEAST_WT_PCT))
    weight = np.where(model.rest_share > 0.5, REST_WEIGHT, 1.0)
    floor = np.where(has_value, broad**weight, 1.0)
    return np.log((1.0 - BROAD_SHARE) * marginal + BROAD_SHARE * floor)
