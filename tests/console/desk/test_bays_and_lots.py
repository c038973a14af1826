"""Bales out of bays, headroom, advice, the state of the analyser, and uniform lots, at the desk."""

from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest

from console.desk import Desk, DeskRefusal
from console.desk.undo.history import History
from console.ledger.views.stock import stock
from console.yard.lots.uniform_lot import LotState

ALU = "100 6063 cu0.02 zn0.02 mg0.5 si0.4 al99"


@pytest.fixture
def desk(yard_folder: Path, clock: Callable[[], datetime]) -> Desk:
    """A desk with an open run."""
    return Desk.open(yard_folder, now=clock)


def test_a_bale_has_row_tag_and_two_sheets(desk: Desk) -> None:
    """Part of a bay goes out: what is left stands in the stock, both files bear the tag."""
    for _ in range(3):
        desk.tally(desk.consider(ALU), bay_code="AXC")
    done = desk.bays.draw_down("AXC", "120", "to the buyer <b>")

    assert done.made.bale.tag == "T1-AXC-0001" and done.row.mass_g == 120_000
    [axc] = [one for one in stock(desk.ledger) if one.bay == "AXC"]
    assert (axc.in_g, axc.out_g, axc.closing_g) == (300_000, 120_000, 180_000)
    assert [file.name for file in done.made.files] == ["bale-T1-AXC-0001.txt", "bale-T1-AXC-0001.html"]
    assert done.made.files[0].read_text(encoding="utf-8") == done.made.text and "120.00 kg" in done.made.text
    assert "&lt;b&gt;" in done.made.files[1].read_text(encoding="utf-8")

    assert desk.bays.draw_down("AXC", "all", "rest").row.mass_g == 180_000
    desk.undo()
    assert desk.bays.draw_down("AXC", "all 175", "rest").made.bale.tag == "T1-AXC-0003"


@pytest.mark.parametrize(("bay", "weight"), [("ZZZ", "1"), ("HLD", "1"), ("AXC", "all"), ("AXC", "much")])
def test_a_draw_down_that_cannot_be_is_refused(desk: Desk, bay: str, weight: str) -> None:
    """Unknown bay, hold bay, empty bay, no weight: nothing is written, no file either."""
    with pytest.raises(DeskRefusal):
        desk.bays.draw_down(bay, weight, "x")

    assert stock(desk.ledger) == [] and not list(desk.yard.folder.glob("bale-*"))


def test_a_piece_that_uses_up_the_headroom_is_warned_of_before(desk: Desk) -> None:
    """Copper-rich metal into the bay with a copper limit; a clean piece is not warned of."""
    desk.tally(desk.consider(ALU), bay_code="AXC")
    desk.bays.book.read()
    bay = desk.yard.bay("AXC")

    warned = desk.bays.book.warning(desk.consider("60 cu1.5 mg0.6 si0.5 al97"), bay)
    assert warned.startswith("AXC: Cu would go") and "0.25" in warned
    assert desk.bays.book.warning(desk.consider("0.5 6063 cu0.02 zn0.02 mg0.5 si0.4 al99"), bay) == ""
    assert desk.bays.book.warning(desk.consider("cu1.5 al97"), bay) == ""


def test_the_same_piece_gets_the_same_advice(desk: Desk) -> None:
    """One line, with what to do; nothing for an empty line."""
    considered = desk.consider("30 red brass bare")

    assert desk.piece.advice(considered) == desk.piece.advice(desk.consider("30 red brass bare")) != ""
    assert desk.piece.advice(desk.consider("")) == ""


def test_the_header_says_how_the_analyser_stands(desk: Desk) -> None:
    """Overdue before the first shot, in control after a good one, out of control after a bad one."""
    assert desk.checks.state() == ("analyser overdue", False)
    desk.checks.shoot("316", "cr16.8 ni10.2 mo2.1 mn1.5")
    assert desk.checks.state() == ("analyser in control", True)
    desk.checks.shoot("316", "cr14.0 ni10.2 mo2.1 mn1.5")
    assert desk.checks.state() == ("analyser out of control", False)


def test_a_lot_passes_and_is_tallied_by_one_weight(desk: Desk) -> None:
    """Every check is a row, the lot comes back from the ledger, the entry says what is proved."""
    lot = desk.lots.begin("6061", 40, per_row=8).made
    while lot.state is LotState.GO_ON:
        lot = desk.lots.record(lot, is_right=True).made
        assert desk.lots.all()[lot.lot_id] == lot
    assert lot.state is LotState.UNIFORM

    desk.lots.tally(lot, "812kg")
    [piece] = desk.review.pieces()
    assert (piece.pieces, piece.mass_g) == (40, 812_000) and lot.lot_id in piece.note


def test_a_wrong_piece_ends_a_lot_that_allows_none(desk: Desk) -> None:
    """It cannot be tallied by one weight; taken back, the same piece is due again."""
    lot = desk.lots.begin("6061", 40).made
    due = lot.next_pick
    lot = desk.lots.record(lot, is_right=False, found="7075").made
    assert lot.state is LotState.NOT_UNIFORM
    with pytest.raises(DeskRefusal, match="not passed"):
        desk.lots.tally(lot, "812kg")

    assert desk.lots.take_back(lot).made.next_pick == due
    assert desk.review.pieces() == []


def test_f4_takes_a_lots_steps_back_in_their_turn(desk: Desk) -> None:
    """Checks, a piece between them, and the beginning of the lot: undone in order, restart or not."""
    run_id = desk.run().run_id
    lot = desk.lots.begin("6061", 40).made
    one = desk.lots.record(lot, is_right=True).made
    desk.tally(desk.consider("12 304"))
    two = desk.lots.record(one, is_right=False, found="7075").made

    assert "lot T1-0001-L01" in desk.undo().sentence
    assert desk.lots.all()[lot.lot_id] == one
    desk.redo()
    assert desk.lots.all()[lot.lot_id] == two
    desk.undo()
    desk.undo()
    assert [piece.is_void for piece in desk.review.pieces()] == [True]
    desk.history = History.of_run(desk.ledger, run_id)
    desk.undo()
    assert desk.lots.all()[lot.lot_id] == lot
    desk.undo()
    assert desk.lots.all() == {}
    assert desk.lots.begin("304", 8).made.lot_id == "T1-0001-L02"
    with pytest.raises(DeskRefusal):
        desk.redo()


@pytest.mark.parametrize(("said", "count"), [("nothing known", 40), ("6061", 0), ("6061", 10**6)])
def test_a_lot_that_cannot_be_is_refused(desk: Desk, said: str, count: int) -> None:
    """No metal named, or a count that no lot has: no row is written."""
    with pytest.raises(DeskRefusal):
        desk.lots.begin(said, count)

    assert desk.lots.all() == {}
