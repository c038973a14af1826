"""The grade card and what a grade is taken for."""

import pytest

from grade_library.card import card_text
from grade_library.library import load
from grade_library.matcher.confusion import most_confused

LIBRARY = load()


@pytest.mark.parametrize("width", [60, 80, 110, 140])
@pytest.mark.parametrize("grade_id", ["304", "C26000", "6061", "Zamak 3", "gold 417", "Tungsten carbide"])
def test_no_line_is_wider_than_asked(grade_id: str, width: int) -> None:
    """At every width the card keeps within it and tells density, magnet, colour and sources."""
    card = card_text(LIBRARY.grade(grade_id), LIBRARY, width)

    assert max(len(line) for line in card.splitlines()) <= width
    for word in ("density", "magnet", "file mark", "sources", "twins", "most easily taken for"):
        assert word in card


def test_strips_are_drawn_to_scale() -> None:
    """On the logarithmic strip a limit from 1 to 10 covers a quarter of four decades, at its place."""
    card = card_text(LIBRARY.grade("304"), LIBRARY, 80, twins=None, is_ascii=True)

    scale, chromium, carbon = (
        next(line for line in card.splitlines() if line.startswith(start)) for start in ("wt %", "Cr ", "C  ")
    )
    ten, hundredth = scale.index(" 10 ") + 1, scale.index("0.01")
    assert chromium.index("#") > ten  # 17.5 lies right of the mark of 10
    assert chromium.count("#") == 1  # 17.5 to 19.5 is a twentieth of a decade
    assert carbon.index("-", hundredth) == hundredth  # a bare maximum begins at the left end
    assert "-" not in carbon[scale.index("0.1 ") :]  # and 0.07 ends left of 0.1


def test_ascii_card_has_ascii_strips() -> None:
    """Terminals without better glyphs get a card whose own signs are ASCII."""
    card = card_text(LIBRARY.grade("6061"), LIBRARY, 80, is_ascii=True)

    assert not set(card) & set("█░▒·≤≥")


def test_differences_and_scrap_entries_are_told() -> None:
    """What another edition says stands on the card with its source."""
    grade = next(grade for grade in LIBRARY.grades if grade.differences and grade.scrap)

    card = card_text(grade, LIBRARY, 120, twins=None)

    assert "other editions and countries say" in card
    assert grade.differences[0].citation.source_id in card
    assert grade.scrap[0] in card


def test_nearest_grade_and_the_check_that_tells() -> None:
    """304 is nearest to its low-carbon and high-carbon sisters; only carbon by certificate speaks for one."""
    found = {confusion.grade.grade_id: confusion for confusion in most_confused(LIBRARY, "304", limit=8)}

    assert {"304L", "304H", "302"} <= set(found)
    assert not found["304H"].is_separable


@pytest.mark.parametrize(
    ("grade_id", "other", "word"),
    [
        ("6061", "6951", "Cr"),
        ("Alloy 625", "N07716", "Ti"),
        ("Alloy 625", "CW-6MC", "casting"),
        ("M2", "M2 high C", "C 0.78-0.88 here"),
    ],
)
def test_the_check_names_what_differs(grade_id: str, other: str, word: str) -> None:
    """The check that separates two grades names the element, or the form, in which they differ."""
    found = {confusion.grade.grade_id: confusion for confusion in most_confused(LIBRARY, grade_id, limit=8)}

    assert found[other].is_separable
    assert word in found[other].check


def test_a_magnet_is_the_first_check() -> None:
    """Where a hand magnet tells two grades apart, no reading is proposed: manganese and plain steel."""
    checks = [
        confusion.check
        for confusion in most_confused(LIBRARY, "Manganese steel", limit=20)
        if confusion.grade.magnet.value == "strong"
    ]

    assert checks
    assert all(check == "magnet: none here, strong there" for check in checks)
