"""Which element of a reading to type next, so that the others need not be typed."""

from collections.abc import Collection

import numpy as np

from console.yard.metals import metals_of
from console.yard.next_check.grades_at_hand import Matching, grades_at_hand
from console.yard.next_check.reading_worth import profile_of
from grade_library.facts import PieceFacts
from grade_library.library import GradeLibrary
from grade_library.normal import FloatArray
from grade_library.verdict import Verdict

SMALLEST = 1e-9
"""No sum of probabilities is taken to be smaller."""
LEAST_MEAN = 0.05
"""An element of which the metals hold less on average is not asked for [wt %]: no analyser shows it."""
BASES, BASE, COUNTS = ("Fe", "Al"), 50.0, 0.02
"""Of these a metal that holds more [wt %] is made: that says little of it, and counts for so much, so that it
is asked for last (own choice, as values alone are taken)."""
LEADING, LEAST_LED = 5.0, 0.05
"""A reading begins as the one before where at least this share of the metals that count hold this much of
that element [wt %] (own choice)."""


def next_element(
    facts: PieceFacts,
    verdict: Verdict,
    library: GradeLibrary,
    matching: Matching,
    *,
    technique: str,
    begins: str = "",
    done: Collection[str] = (),
) -> str:
    """Return the symbol of the element to type next; empty where none is left.

    What the metals that still count hold most of, by their probabilities, base metals last. To ask for what
    tells bays apart best passes over what is there, and settled real metal in wrong bays (begun.py).

    Args:
        facts, verdict: What was typed so far, and what that can be.
        library, matching: As `next_check` takes them.
        technique: Of the reading.
        begins: Symbol with which the reading before began; empty where there was none.
        done: Symbols of elements that were typed of this reading, and of those that are not shown.
    """
    at_hand = grades_at_hand(facts, verdict, library, matching)
    mean = metals_of(library).mean[at_hand.rows]
    shares = at_hand.shares / max(float(at_hand.shares.sum()), SMALLEST)
    if begins and not done:
        led = float(shares @ (mean[:, _columns(library, [begins])] >= LEADING).any(axis=1))
        if led >= LEAST_LED:
            return begins
    return _most_of(library, shares, mean, {*done, *profile_of(technique, matching.techniques).unseen})


def _most_of(library: GradeLibrary, shares: FloatArray, mean: FloatArray, done: Collection[str]) -> str:
    """Return the symbol of what the metals hold most of, base metals last; empty where nothing is left.

    Args:
        library: The grades.
        shares: Probabilities of the metals, shape (n_metals,).
        mean: What they hold [wt %], shape (n_metals, n_elements).
        done: Symbols that are not asked for.
    """
    base = mean > BASE
    base[:, [symbol not in BASES for symbol in library.elements]] = False
    most = shares @ np.where(base, COUNTS * mean, mean)
    most[_columns(library, done)] = 0.0
    most[shares @ mean < LEAST_MEAN] = 0.0
    return library.elements[int(most.argmax())] if most.any() else ""


def _columns(library: GradeLibrary, symbols: Collection[str]) -> list[int]:
    return [column for column, symbol in enumerate(library.elements) if symbol in symbols]
