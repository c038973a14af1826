"""What the matcher takes melts to be like, held against real heats that had no part in setting it.

Source: certified.csv beside this file, whose last column names the certificate or paper of every value; a
value with the source `memory` was checked against none. The rule that parts the heats is that of the
benchmarks (`Material.is_held_out`): a third by the checksum of their names is held back. Of the other two
thirds, 71 heats, 23 limits are missed, as the notes of `grade_library/matcher/melt.py` say of its heats:
they are taken to be those that its figures were fitted to. Some documents give heats to both parts.
Elements of one heat are taken as independent, which they are not wholly: of the main elements beyond a
limit in the 25 heats held back two are of one heat.
"""

from dataclasses import dataclass

import pytest
from scipy import stats

from grade_library.library import load
from grade_library.matcher.melt import LEAN, MAIN_WT_PCT, STRAYING, Spreads, spreads_of
from tests.benchmarks.certified import materials

LEAST_P = 0.01
"""A figure is contradicted where chance brings heats so far from it less often than this (own choice)."""


@dataclass(frozen=True, kw_only=True)
class Content:
    """One limited element of one heat."""

    is_checked: bool
    """The heat is held back."""
    kind: str
    """main or minor, by the upper edge of the spread."""
    wt_pct: float
    mid: float
    excess: float
    """How far it lies beyond its limits [wt %]; 0 inside."""
    softness: float
    """Scale of the tail on that side [wt %]; 0 inside."""
    tail: float
    low_share: float
    steps: str
    """Which figures set the two steps: lean, straying, impurity; empty for halves."""

    @property
    def is_outside(self) -> bool:
        """Whether it misses a limit."""
        return self.excess > 0.0


def _content(
    spreads: Spreads, at: tuple[int, int], symbol: str, wt_pct: float, *, is_checked: bool
) -> Content:
    low, high = float(spreads.low[at]), float(spreads.high[at])
    over, under = wt_pct - high, low - wt_pct
    excess = max(over, under)
    softness = float((spreads.soft_high if over > under else spreads.soft_low)[at])
    is_inside = excess < 1e-9
    if low > 0.0:
        steps = "lean" if symbol in LEAN else ""
    else:
        steps = "straying" if symbol in STRAYING else "impurity"
    return Content(
        is_checked=is_checked,
        kind="main" if high >= MAIN_WT_PCT else "minor",
        wt_pct=wt_pct,
        mid=float(spreads.mid[at]),
        excess=0.0 if is_inside else excess,
        softness=0.0 if is_inside else softness,
        tail=float(spreads.tail[at]),
        low_share=float(spreads.low_share[at]),
        steps=steps,
    )


@pytest.fixture(scope="module")
def contents() -> list[Content]:
    """Every element of a real heat for which its grade states a maximum, but the rest."""
    library = load()
    spreads, rows = spreads_of(library), {grade.grade_id: i for i, grade in enumerate(library.grades)}
    found = []
    for heat in materials(library):
        if heat.grade_id is None:
            continue
        limits = library.grade(heat.grade_id).limits
        for symbol, wt_pct in heat.certified.items():
            limit = limits.get(symbol)
            if limit is not None and not limit.is_rest and limit.high is not None:
                at = rows[heat.grade_id], library.elements.index(symbol)
                found.append(_content(spreads, at, symbol, wt_pct, is_checked=heat.is_held_out))
    return found


PARTS = pytest.mark.parametrize("is_checked", [False, True], ids=["fitted", "checked"])


@PARTS
def test_as_many_limits_are_missed_as_these_notes_say(contents: list[Content], is_checked: bool) -> None:
    """The figures of these notes are those of the heats.

    Fitted: 23 of 511 limits are missed, 5 of 98 main ones and 18 of 413 others. Checked: 11 of 180, 5 of 39
    and 6 of 141.
    """
    part = [one for one in contents if one.is_checked is is_checked]
    missed = {kind: [one.is_outside for one in part if one.kind == kind] for kind in ("main", "minor")}

    said = {kind: (sum(these), len(these)) for kind, these in missed.items()}
    assert said == {
        False: {"main": (5, 98), "minor": (18, 413)},
        True: {"main": (5, 39), "minor": (6, 141)},
    }[is_checked]  # fmt: skip


@PARTS
@pytest.mark.parametrize("kind", ["main", "minor"])
def test_as_many_melts_stray_as_is_said(contents: list[Content], kind: str, is_checked: bool) -> None:
    """Neither part contradicts that 0.04 of the main and 0.05 of the other elements stray
    (scipy.stats.binomtest).

    Fitted: 0.051 (p 0.60) and 0.044 (p 0.65). Checked: 0.128 (p 0.02: close to a contradiction, more than
    said) and 0.043 (p 0.85).
    """
    part = [one for one in contents if one.is_checked is is_checked and one.kind == kind]

    found = stats.binomtest(sum(one.is_outside for one in part), len(part), part[0].tail)
    assert found.pvalue >= LEAST_P


@PARTS
@pytest.mark.parametrize("steps", ["lean", "straying", "impurity"])
def test_as_many_melts_lie_low_as_is_said(contents: list[Content], steps: str, is_checked: bool) -> None:
    """Neither part contradicts the share of melts below the middle edge (scipy.stats.binomtest).

    Said: 0.57 of costly elements, 0.50 of straying ones, 0.75 of other impurities. Fitted: 90 of 142, 25 of
    54, 137 of 189 (p 0.13, 0.68, 0.45). Checked: 28 of 50, 12 of 20, 44 of 60 (p 0.89, 0.50, 0.77).
    """
    part = [one for one in contents if one.is_checked is is_checked and one.steps == steps]
    inside = [one for one in part if not one.is_outside]

    low = sum(one.wt_pct < one.mid for one in inside)
    assert stats.binomtest(low, len(inside), inside[0].low_share).pvalue >= LEAST_P


@pytest.mark.parametrize(("kind", "is_checked"), [("main", False), ("main", True), ("minor", True)])
def test_those_that_stray_do_so_as_far_as_is_said(
    contents: list[Content], kind: str, is_checked: bool
) -> None:
    """Heats that stray do so by an exponential of the scale said, neither further nor less
    (scipy.stats.gamma, its shape their number).

    Main elements by 1.0 scales on average in the fitted heats, which the figure is the mean of, and by 0.6 in
    those held back (p 0.16 for so little). Others held back by 1.2 (p 0.31 for so much); in the fitted heats
    by 2.1 (p below 0.001): two of eighteen lie ten scales out, and the scale is shorter than the heats.
    """
    strays = [
        one.excess / one.softness
        for one in contents
        if one.is_checked is is_checked and one.is_outside and one.kind == kind
    ]

    assert len(strays) >= 5
    further = stats.gamma.sf(sum(strays), len(strays))
    assert min(further, 1.0 - further) >= LEAST_P
