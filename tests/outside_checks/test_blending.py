"""Blends and headroom against charge calculations done by hand."""

import math

import pytest

from grade_library.lots.blending import Blend, room_above, room_below


def blend(masses: list[float], contents: list[float], sigmas: list[float]) -> tuple[float, float]:
    """Return the content of a blend and its uncertainty [wt %]: mass balance, JCGM 100 (GUM), 5.1.2."""
    parts = [mass / sum(masses) for mass in masses]
    content = sum(part * one for part, one in zip(parts, contents, strict=True))
    return content, math.hypot(*(part * one for part, one in zip(parts, sigmas, strict=True)))


@pytest.mark.parametrize(
    ("have", "most", "added", "part"), [(0.25, 0.40, 4.4, 0.036), (0.05, 0.25, 5.6, 0.036)]
)
def test_largest_part_of_a_foreign_alloy(have: float, most: float, added: float, part: float) -> None:
    """(limit - have) / (added - have): 3.6 % of 2024 by copper, 3.6 % of 7075 by zinc in clean 6061."""
    room = room_below(1000.0, Blend(wt_pct=have, sigma=0.0), most, Blend(wt_pct=added, sigma=0.0), 0.0)

    assert room / (1000.0 + room) == pytest.approx(part, abs=5e-4)


def test_largest_part_with_a_guard() -> None:
    """With u(C) = 0.02 and 95 % one-sided the copper limit acts as 0.367: 2.8 % of 2024 (approximation by
    hand)."""
    room = room_below(1000.0, Blend(wt_pct=0.25, sigma=0.02), 0.40, Blend(wt_pct=4.4, sigma=0.0), 1.645)

    assert room / (1000.0 + room) == pytest.approx(0.028, abs=5e-4)


@pytest.mark.parametrize("sigma", [0.0, 0.05, 0.4])
def test_the_limit_is_just_kept_with_the_headroom_filled(sigma: float) -> None:
    """Blending in exactly the headroom brings content plus k standard uncertainties to the limit, and no
    further."""
    have, added, k = Blend(wt_pct=0.21, sigma=0.03), Blend(wt_pct=1.9, sigma=sigma), 1.645
    room = room_below(800.0, have, 0.40, added, k)

    content, sigma_of_all = blend([800.0, room], [have.wt_pct, added.wt_pct], [have.sigma, added.sigma])

    assert content + k * sigma_of_all == pytest.approx(0.40, abs=1e-9)


def test_headroom_to_a_least_content() -> None:
    """97 % copper into 1000 kg of 99.9 % with at least 99.5 %: x = 1000 · 0.4 / 2.5 = 160 kg (mass
    balance)."""
    room = room_above(1000.0, Blend(wt_pct=99.9, sigma=0.0), 99.5, Blend(wt_pct=97.0, sigma=0.0), 1.645)

    assert room == pytest.approx(160.0)


def test_metal_that_dilutes_may_come_without_end() -> None:
    """Cleaner metal never breaks an upper limit, and helps a bay that is over it already."""
    clean = Blend(wt_pct=0.05, sigma=0.01)
    assert room_below(100.0, Blend(wt_pct=0.2, sigma=0.01), 0.4, clean, 1.645) == math.inf
    assert room_below(100.0, Blend(wt_pct=0.6, sigma=0.01), 0.4, clean, 1.645) == math.inf
    assert room_below(100.0, Blend(wt_pct=0.6, sigma=0.01), 0.4, Blend(wt_pct=2.0, sigma=0.1), 1.645) == 0.0


def test_the_first_crossing_counts() -> None:
    """1000 kg at 0.25 % take (0.40 - 0.25) / (0.50 - 0.40) of 0.50 % metal: 1500 kg (mass balance)."""
    room = room_below(1000.0, Blend(wt_pct=0.25, sigma=0.0), 0.40, Blend(wt_pct=0.50, sigma=0.0), 1.645)

    assert room == pytest.approx(1500.0)


def test_a_pile_that_is_over_with_its_doubt_takes_nothing() -> None:
    """0.3 + 0.105 is over 0.4; metal at 0.1 ± 0.31 would help a little, then no more: none is added."""
    pile, added = Blend(wt_pct=0.3, sigma=0.105), Blend(wt_pct=0.1, sigma=0.31)

    assert room_below(100.0, pile, 0.4, added, 1.0) == 0.0
