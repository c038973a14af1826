"""What the ledger says of readings from files."""

from dataclasses import replace
from pathlib import Path

from console.ledger.keeping.verify import verify
from console.ledger.rows.reading_rows import reading_acts, rows_of
from tests.console.ledger.clock import brass, open_ledger

ONE = {"piece": "A", "rows": ["r1", "r2"]}
OTHER = {"piece": "B", "rows": ["r3"]}


def test_acts_come_in_order_and_the_last_holds(tmp_path: Path) -> None:
    """Piece, void, void taken back, and a note that sets aside; rows that hold none are passed over."""
    with open_ledger(tmp_path / "store") as ledger:
        ledger.open_run("Ada")
        piece = ledger.add_piece(replace(brass(), readings=(ONE,)), "Ada")
        plain = ledger.add_piece(brass(), "Ada")
        ledger.void(piece.row_id, "slip", "Ada")
        ledger.void(plain.row_id, "slip", "Ada")
        ledger.unvoid(piece.row_id, "no slip", "Ada")
        note = ledger.note("set aside", "Ada", readings=(OTHER,))

        acts = reading_acts(ledger)

        assert [(act.is_taken, sorted(rows_of(act.readings))) for act in acts] == [
            (True, ["r1", "r2"]),
            (False, ["r1", "r2"]),
            (True, ["r1", "r2"]),
            (True, ["r3"]),
        ]
        assert reading_acts(ledger, after=note.seq) == []
        assert [act.is_taken for act in reading_acts(ledger, piece.seq, note.seq - 1)] == [False, True]
        assert verify(ledger).findings == ()


def test_words_of_a_person_are_not_taken_for_readings(tmp_path: Path) -> None:
    """A note and a line that spell the key out hold nothing."""
    with open_ledger(tmp_path / "store") as ledger:
        ledger.open_run("Ada")
        ledger.note('the file says "readings":[{"rows":["r1"]}]', "Ada")
        ledger.add_piece(replace(brass(), line='2 304 ; "readings":[1]'), "Ada")

        assert reading_acts(ledger) == []
