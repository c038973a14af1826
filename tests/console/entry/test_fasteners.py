"""Threads and strength classes of bolts: no grade, no second weight."""

import pytest

from console.entry.token_kind import TokenKind
from grade_library.library import load
from tests.console.entry.conftest import Reader


@pytest.mark.parametrize(
    ("line", "mass_g"),
    [
        ("8.8 bolt 1.4", 1_400),
        ("1,4 bolt 8,8", 1_400),
        ("2.5 10.9 bolts", 2_500),
        ("2kg 12.9 screws", 2_000),
        ("8.8 bolts 10.9", 8_800),
        ("2 m10x40 8.8 bolts x20", 2_000),
    ],
)
def test_a_strength_class_says_steel_and_is_no_weight(read: Reader, line: str, mass_g: int) -> None:
    """The other number is the weight, wherever it stands; of two classes the first."""
    parsed = read(line)

    assert (parsed.mass_g, parsed.problems) == (mass_g, ())
    assert parsed.facts.claim is not None
    groups = {load().grade(one).group for one in parsed.facts.claim.grade_ids}
    assert "steel" in groups and not groups & {"stainless", "brass", "aluminium"}


@pytest.mark.parametrize("line", ["8.8 bolts", "8.8 steel", "5.6 brass 304"])
def test_the_only_number_is_the_weight_and_so_it_is_without_a_bolt(read: Reader, line: str) -> None:
    """Nothing else could be meant by it."""
    assert read(line).mass_g in (8_800, 5_600)


@pytest.mark.parametrize(
    ("line", "label"),
    [
        ("2.2 M10 bolts", "bolt, usually steel"),
        ("4 nuts m20", "nut, usually steel"),
        ("13 anchor bolt M16", "bolt, usually steel"),
        ("4 M8 screws a2", "a2"),
        ("2.2 M10", "M10"),
    ],
)
def test_a_thread_beside_a_fastener_is_no_tool_steel(read: Reader, line: str, label: str) -> None:
    """It says nothing of the metal; by itself it names the grade."""
    parsed = read(line)

    assert parsed.problems == ()
    assert parsed.facts.claim is not None and parsed.facts.claim.label == label


def test_m2_beside_a_fastener_is_still_the_magnet(read: Reader) -> None:
    """The three pulls of the magnet are no threads."""
    assert [token.kind for token in read("3 m2 bolts").tokens][1] is TokenKind.MAGNET


@pytest.mark.parametrize("line", ["2.5 brass 12.9", "2.5 304 10.9"])
def test_a_number_with_a_tenth_is_offered_no_grade(read: Reader, line: str) -> None:
    """12.9 is no slip for 129: nothing is offered that nobody means."""
    asked = read(line).asked

    assert asked is not None and asked.offers == ()
