"""Where a piece goes, why, and what to check next, in the rows that there are."""

import pytest

from console.desk import load_yard_and_library
from console.panes.piece.placement_pane import HOLD, PlacementPane
from console.yard.placing.placement import Placement, Sureness
from console.yard.yard import Bay
from tests.benchmarks.open_world import DEMO_YARD

TELL = "file it: white through and through is nickel silver, yellow beneath is plated brass"
HEFT = "heft it: middling means TTN, normal or heavy leaves it open, light means AMX; gains 0.08 EUR"
YARD, _ = load_yard_and_library(DEMO_YARD)


def drawn(reason: str, advice: str, width: int, height: int) -> list[str]:
    """Return the lines of the pane for a room."""
    pane = PlacementPane()
    pane.set_reactive(PlacementPane.advice, advice)
    pane._placement = Placement(
        bay=YARD.bays[0], sureness=Sureness.LEANING, reason=reason, ranking=(), mass_g=None
    )
    return [line.plain for line in pane.draw(width, height)]


@pytest.mark.parametrize("width", [74, 76, 100])
def test_a_check_that_needs_two_rows_is_read_whole(width: int) -> None:
    """Where the reason has one row the check has two: every answer and what it means is there."""
    lines = drawn("bay AXC: 82 % accepted", HEFT, width, 4)

    assert len(lines) <= 4
    assert lines[1] == "  82 % accepted"
    assert " ".join(" ".join(lines[2:]).split()) == f"next: {HEFT}"
    assert all(len(line) <= width for line in lines)


def test_what_is_cut_ends_in_a_mark() -> None:
    """In a row less the check ends in a mark; the reason keeps its row."""
    lines = drawn("bay AXC: 82 % accepted", HEFT, 76, 3)

    assert lines[1] == "  82 % accepted"
    assert lines[2].startswith("  next: heft it: middling")
    assert lines[2].endswith("…")


def test_a_tell_is_said_once() -> None:
    """What splits a look-alike stands as the check, and not in the reason above it as well."""
    lines = drawn(f"bay AXC: 70 % accepted; {TELL}", TELL, 76, 4)
    alone = drawn(f"bay AXC: 70 % accepted; {TELL}", "", 76, 3)

    assert " ".join(lines).count("file it") == 1
    assert " ".join(" ".join(lines[2:]).split()) == f"next: {TELL}"
    assert "file it: white through and through" in " ".join(alone)


def test_a_long_reason_keeps_its_first_and_its_last_part_whole() -> None:
    """What to do about it stands last and is not cut; a mark says that something was left out."""
    parts = [
        ">99 % accepted",
        "half of it in no library",
        "the bay takes the family " * 4,
        "shoot the coupon",
    ]
    lines = drawn("; ".join(parts), "", 76, 3)

    assert " ".join(" ".join(lines[1:]).split()) == (
        ">99 % accepted; half of it in no library; … shoot the coupon"
    )
    assert all(line.startswith("  ") and line[2] != " " for line in lines[1:])


def test_a_part_without_an_end_is_cut_with_a_mark_and_stands_in_line() -> None:
    """One sentence longer than its rows ends in a mark; its second row begins where the first does."""
    lines = drawn("not this one because " * 20, "", 76, 3)

    assert len(lines) == 3 and lines[2].endswith("…")
    assert lines[2].startswith("  ") and lines[2][2] != " "


@pytest.mark.parametrize(("bay", "said"), [(YARD.hold_bay, False), (YARD.bays[0], True)])
def test_a_hold_that_is_advised_too_is_no_choice_against_it(bay: Bay, said: bool) -> None:
    """ "?" where the advice is hold goes as advised; where it is a bay, both are said."""
    pane = PlacementPane()
    pane.set_reactive(PlacementPane.advice, "")
    pane._placement = Placement(bay=bay, sureness=Sureness.OPEN, reason="why", ranking=(), mass_g=None)
    pane._asked = HOLD

    assert ("advice is" in pane.draw(76, 3)[0].plain) is said
