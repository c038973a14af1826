"""Alloys that the library does not list: what a reading says of an unlisted member of each kind of metal."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from grade_library.library import GradeLibrary
from grade_library.matcher.kinds import Kinds, kinds_of
from grade_library.matcher.likelihood import Observed
from grade_library.matcher.melt import REST_WEIGHT, Melts
from grade_library.normal import FloatArray

GROUP_SHARE = 0.20
"""Share of unlisted alloys whose content of an element is like that of another family of the group ..."""
BROAD_SHARE = 0.15
"""... and like nothing in the group: log-uniform up to 100 %. Both fitted on families left out of the library
(tests/benchmarks/open_world.py)."""
LEAST_WT_PCT = 0.02
"""Where the log-uniform spread begins to flatten [wt %]."""
SHORT_WT_PCT, LEAST_NAMED_AFTER = 3.0, -20.0
"""How fast it gets unlikely that an alloy is called after an element that it holds less of than of another:
by a factor e for so many wt %, and the least that it comes to [nats] (memory)."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class UnlistedModel:
    """For every kind and element, how often each term occurs: the spread of an alloy that shares the kind's
    habits."""

    kinds: Kinds
    terms: NDArray[np.int64]
    """Terms in order of kind and element, shape (n_entries,)."""
    share: FloatArray
    """How often each occurs in its kind, shape (n_entries,)."""
    starts: NDArray[np.int64]
    """Where each kind and element begins among the entries, shape (n_kinds * n_elements,)."""
    in_group: FloatArray
    """How much each kind counts in its group: the share of its grades there, shape (n_groups, n_kinds)."""
    rest_weight: FloatArray
    """`REST_WEIGHT` where the element is mostly the rest, else 1, shape (n_kinds, n_elements)."""
    can_lead: NDArray[np.bool_]
    """Whether some grade of the kind can hold more of the element than of any other, same shape."""


def compile_unlisted(library: GradeLibrary, melts: Melts) -> UnlistedModel:
    """Return the spreads of unlisted alloys of each kind."""
    kinds = kinds_of(library)
    n_elements = len(melts.elements)
    n_kinds, n_terms = len(kinds.kinds), len(melts.low)
    # Kind, element and term of every grade and element as one number: sorted, equal ones lie together.
    places = kinds.kind_of[:, None] * n_elements + np.arange(n_elements)
    entries, counts = np.unique(places * n_terms + melts.index, return_counts=True)
    place, terms = np.divmod(entries, n_terms)
    sizes = np.bincount(kinds.kind_of, minlength=n_kinds)
    rest_share = np.zeros((n_kinds, n_elements))
    np.add.at(rest_share, kinds.kind_of, melts.is_rest[melts.index])
    rest_share /= sizes[:, None]
    in_group = np.zeros((len(kinds.groups), n_kinds))
    in_group[kinds.group_of_kind, np.arange(n_kinds)] = sizes
    low, high = melts.low[melts.index], melts.high[melts.index]
    can_lead = np.zeros((n_kinds, n_elements), dtype=bool)
    np.logical_or.at(can_lead, kinds.kind_of, high >= low.max(axis=1, keepdims=True))
    return UnlistedModel(
        kinds=kinds,
        terms=terms,
        share=counts / sizes[place // n_elements],
        starts=np.flatnonzero(np.diff(place, prepend=-1)),
        in_group=in_group / in_group.sum(axis=1, keepdims=True),
        rest_weight=np.where(rest_share > 0.5, REST_WEIGHT, 1.0),
        can_lead=can_lead,
    )


def element_log_density(model: UnlistedModel, terms: FloatArray, observed: Observed) -> FloatArray:
    """Return what each element says of an unlisted alloy of each kind [nats], shape (n_kinds, n_elements).

    Args:
        model: The spreads.
        terms: What the reading adds for each term [nats], from `likelihood.term_log_density`.
        observed: The reading.
    """
    entries = np.exp(terms).take(model.terms)
    entries *= model.share
    of_kind = np.add.reduceat(entries, model.starts).reshape(len(model.kinds.kinds), -1)
    of_group = (model.in_group @ of_kind)[model.kinds.group_of_kind]
    return mixed_log_density(of_kind, of_group, broad_log_density(observed.value), model.rest_weight)


def mixed_log_density(
    of_kind: FloatArray, of_group: FloatArray, broad: FloatArray, rest_weight: FloatArray
) -> FloatArray:
    """Return what elements say of an unlisted alloy that has them from its kind, its group or nowhere [nats].

    Args:
        of_kind: Mean density over the grades of the kind [1/wt %], any shape.
        of_group: The same over its group, same shape.
        broad: What `broad_log_density` says [nats], of a shape that goes with it.
        rest_weight: As of the model, likewise.
    """
    floor = np.where(rest_weight < 1.0, np.exp(REST_WEIGHT * broad), np.exp(broad))
    mixed = (1.0 - GROUP_SHARE - BROAD_SHARE) * of_kind + GROUP_SHARE * of_group + BROAD_SHARE * floor
    return np.asarray(np.log(mixed))


def named_after_log_chance(model: UnlistedModel, value: FloatArray, stray: float) -> FloatArray:
    """Return how likely metal is called one of each kind after what it holds most of [nats], shape (...,
    n_kinds).

    Args:
        model: The kinds.
        value: Mass fractions [wt %], NaN where none is reported, shape (..., n_elements); what they leave of
            100 may be of any element.
        stray: The most that was read of an element that no grade names [wt %].

    Source: an alloy is one of the element that predominates by mass over each of the others (EN 10020 for
    steel, ISO 197-1 for copper; from memory).
    """
    held = np.where(np.isnan(value), 0.0, value)
    gap = np.maximum(100.0 - stray - held.sum(axis=-1, keepdims=True), 0.0)
    led = np.where(model.can_lead, held[..., None, :], 0.0).max(axis=-1)
    short = np.maximum(held.max(axis=-1, keepdims=True), stray) - led - gap
    return np.asarray(np.clip(-short / SHORT_WT_PCT, LEAST_NAMED_AFTER, 0.0))


def broad_log_density(value: FloatArray) -> FloatArray:
    """Return what each element says of a metal of no kind: log-uniform [nats], 0 without a value.

    Args:
        value: Mass fractions [wt %], NaN where none is reported, any shape.
    """
    broad = -np.log((value + LEAST_WT_PCT) * np.log(100.0 / LEAST_WT_PCT))
    return np.asarray(np.where(np.isnan(value), 0.0, broad))
