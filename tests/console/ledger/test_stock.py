"""Opening stock and what came, moved and went make the closing stock, over any dates."""

from datetime import datetime, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

from hypothesis import given, settings
from hypothesis import strategies as st

from console.ledger.keeping.store import Ledger
from console.ledger.rows.errors import LedgerRefusal
from console.ledger.rows.rows import Row
from console.ledger.views.lying import lying_now
from console.ledger.views.period import GroupBy, GroupTotal, pieces_between, totals_by
from console.ledger.views.replay import REDO_REASON, UNDO_REASON
from console.ledger.views.stock import BayStock, stock
from console.ledger.views.tally import tally
from tests.console.ledger.clock import START, brass, open_ledger
from tests.console.ledger.test_tally import ACTS, Act, do


def just_after(row: Row) -> datetime:
    return row.at_utc + timedelta(milliseconds=1)


def test_each_kind_of_change_has_its_column(ledger: Ledger) -> None:
    """Pieces come in, moves and mended weights move, draw-downs go out; their voids take them back."""
    first = ledger.add_piece(brass(1000, bay="YB"), "Ada")
    before = just_after(first)
    second = ledger.add_piece(brass(500, bay="YB"), "Ada")
    ledger.move(first.row_id, "RB", "why", "Ada")
    ledger.reweigh(second.row_id, 550, "why", "Ada")
    drawn = ledger.draw_down("RB", 700, "Ada")
    wrong = ledger.draw_down("RB", 50, "Ada")
    ledger.void(wrong.row_id, "why", "Ada")

    assert stock(ledger, before) == [
        BayStock(bay="YB", opening_g=1000, in_g=500, moved_g=-950, out_g=0, closing_g=550),
        BayStock(bay="RB", opening_g=0, in_g=0, moved_g=1000, out_g=700, closing_g=300),
    ]
    assert stock(ledger, None, before) == [
        BayStock(bay="YB", opening_g=0, in_g=1000, moved_g=0, out_g=0, closing_g=1000)
    ]
    assert [one.opening_g for one in stock(ledger, just_after(drawn))] == [550, 300]


def test_what_was_undone_moved_nothing(ledger: Ledger) -> None:
    """An entry undone in its stretch never came in, done again it did; an earlier one is moved out."""
    first = ledger.add_piece(brass(1000, bay="YB"), "Ada")
    ledger.void(first.row_id, UNDO_REASON, "Ada")
    assert [(one.in_g, one.moved_g, one.closing_g) for one in stock(ledger)] == [(0, 0, 0)]

    redone = ledger.unvoid(first.row_id, REDO_REASON, "Ada")
    assert [(one.in_g, one.moved_g, one.closing_g) for one in stock(ledger)] == [(1000, 0, 1000)]

    ledger.void(first.row_id, UNDO_REASON, "Ada")
    assert stock(ledger, just_after(redone)) == [
        BayStock(bay="YB", opening_g=1000, in_g=0, moved_g=-1000, out_g=0, closing_g=0)
    ]


@settings(max_examples=25, deadline=None)
@given(acts=ACTS, cut=st.integers(0, 45))
def test_closing_stock_is_the_next_opening_stock(acts: list[Act], cut: int) -> None:
    """Cut anywhere, two stretches join without a gap, and all of it agrees with the tally."""
    with TemporaryDirectory() as folder, open_ledger(Path(folder) / "yard.sqlite3") as ledger:
        ledger.open_run("Ada")
        for act in acts:
            try:
                do(ledger, act)
            except LedgerRefusal:
                continue
        middle = START + timedelta(seconds=cut)

        closing = {one.bay: one.closing_g for one in stock(ledger, None, middle) if one.closing_g}
        opening = {one.bay: one.opening_g for one in stock(ledger, middle) if one.opening_g}

        assert closing == opening
        now = {one.bay: one.closing_g for one in stock(ledger) if one.closing_g}
        assert now == {bay.bay: bay.mass_g for bay in tally(ledger, "T1-0001").bays}
        assert {bay: mass_g for bay, mass_g in lying_now(ledger).items() if mass_g} == now


def test_what_lies_there_now_is_the_closing_stock(ledger: Ledger) -> None:
    """Over two runs, with a draw-down voided, a late correction, and too much drawn down."""
    first = ledger.add_piece(brass(1000, bay="YB"), "Ada")
    wrong = ledger.draw_down("YB", 300, "Ada")
    ledger.void(wrong.row_id, "not sold", "Ada")
    ledger.close_run("Ada")
    ledger.open_run("Ben")
    ledger.move(first.row_id, "RB", "late", "Ben")
    ledger.add_piece(brass(400, bay="YB"), "Ben")
    ledger.draw_down("RB", 1500, "Ben")

    assert lying_now(ledger) == {one.bay: one.closing_g for one in stock(ledger)} == {"YB": 400, "RB": -500}


def test_pieces_of_any_dates_are_summed_by_what_is_asked(ledger: Ledger) -> None:
    """Sums by bay, grade, supplier and person leave void pieces out and start with the heaviest."""
    from dataclasses import replace

    ledger.add_piece(replace(brass(1000, pieces=2), supplier="Holt", load="L1"), "Ada")
    ledger.add_piece(replace(brass(3000, bay="RB"), supplier="holt", load="L2", grade_id=None), "Ben")
    void = ledger.add_piece(brass(9000), "Ada")
    ledger.void(void.row_id, "why", "Ada")
    ledger.close_run("Ada")
    ledger.open_run("Ben")
    late = ledger.add_piece(brass(200), "Ben")

    every = pieces_between(ledger)
    assert totals_by(every, GroupBy.BAY) == [
        GroupTotal(name="RB", entries=1, pieces=1, mass_g=3000),
        GroupTotal(name="YB", entries=2, pieces=3, mass_g=1200),
    ]
    assert [(one.name, one.mass_g) for one in totals_by(every, GroupBy.GRADE)] == [
        ("", 3000),
        ("C36000", 1200),
    ]
    assert [(one.name, one.mass_g) for one in totals_by(every, GroupBy.PERSON)] == [
        ("Ben", 3200),
        ("Ada", 1000),
    ]
    assert [one.name for one in totals_by(every, GroupBy.SUPPLIER)] == ["holt", "Holt", ""]
    assert len(pieces_between(ledger, supplier="Holt")) == 2
    assert [piece.load for piece in pieces_between(ledger, load="l2")] == ["L2"]
    assert [piece.row_id for piece in pieces_between(ledger, late.at_utc)] == [late.row_id]
    assert len(pieces_between(ledger, None, late.at_utc)) == 3
    assert len(pieces_between(ledger, run_id="T1-0002")) == 1
