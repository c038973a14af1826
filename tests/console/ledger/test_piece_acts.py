"""Corrections of pieces: each is a new row, makes sense, and shows in the piece's state."""

from pathlib import Path

import pytest

from console.ledger.keeping.store import Ledger
from console.ledger.rows.errors import LedgerRefusal
from console.ledger.rows.queries import kept_evidence
from console.ledger.rows.rows import PieceState
from console.ledger.views.piece_state import piece_state, piece_states, remarkable_pieces, waiting_pieces
from console.ledger.views.tally import tally
from tests.console.ledger.clock import brass, open_ledger, words_of


def state(ledger: Ledger, row_id: str) -> PieceState:
    found = piece_state(ledger, row_id)
    assert found is not None
    return found


def test_corrections_show_in_words_oldest_first(ledger: Ledger) -> None:
    """A piece that was moved, reweighed and voided stands as the last row says, with every step in words."""
    row = ledger.add_piece(brass(1200), "Ada")

    ledger.move(row.row_id, "RB", "reads red", "Ben")
    ledger.reweigh(row.row_id, 1250, "slipped digit", "Ben", pieces=2)
    ledger.void(row.row_id, "entered twice", "Ada")

    now = state(ledger, row.row_id)
    assert (now.bay, now.mass_g, now.pieces, now.is_void) == ("RB", 1250, 2, True)
    assert words_of(now) == (
        "moved YB -> RB: reads red (Ben)",
        "weight 1.200 -> 1.250 kg, count 1 -> 2: slipped digit (Ben)",
        "voided: entered twice (Ada)",
    )


def test_mending_a_weight_keeps_the_count(ledger: Ledger) -> None:
    """Three pieces weighed again are three pieces."""
    row = ledger.add_piece(brass(1200, pieces=3), "Ada")

    ledger.reweigh(row.row_id, 1250, "slipped digit", "Ben")

    now = state(ledger, row.row_id)
    assert (now.mass_g, now.pieces) == (1250, 3)


def test_corrections_add_rows_and_change_none(ledger: Ledger) -> None:
    """The piece's own row is the same, byte for byte, after every correction."""
    row = ledger.add_piece(brass(), "Ada")
    select = "SELECT * FROM ledger WHERE seq = ?"
    before = ledger.connection.execute(select, (row.seq,)).fetchone()

    ledger.move(row.row_id, "RB", "reads red", "Ben")
    ledger.void(row.row_id, "gone", "Ben")

    assert ledger.connection.execute(select, (row.seq,)).fetchone() == before
    assert ledger.connection.execute("SELECT count(*) FROM ledger").fetchone() == (4,)


def test_void_and_unvoid_take_turns(ledger: Ledger) -> None:
    """A void of a void and an unvoid of a standing piece are refused."""
    row = ledger.add_piece(brass(), "Ada")
    with pytest.raises(LedgerRefusal, match="not void"):
        ledger.unvoid(row.row_id, "why", "Ada")
    ledger.void(row.row_id, "twice", "Ada")
    with pytest.raises(LedgerRefusal, match="void already"):
        ledger.void(row.row_id, "twice", "Ada")
    ledger.unvoid(row.row_id, "it was right", "Ada")

    assert tally(ledger, "T1-0001").mass_g == 1200


@pytest.mark.parametrize(
    ("act", "message"),
    [
        (lambda ledger, row_id: ledger.move(row_id, "YB", "why", "Ada"), "lies in YB already"),
        (lambda ledger, row_id: ledger.move(row_id, "RB", "  ", "Ada"), "why"),
        (lambda ledger, row_id: ledger.reweigh(row_id, 1200, "why", "Ada"), "this weight and count already"),
        (lambda ledger, row_id: ledger.reweigh(row_id, 0, "why", "Ada"), "more than 0 g"),
        (lambda ledger, row_id: ledger.reweigh(row_id, 5, "why", "Ada", pieces=0), "counts 1 or more"),
        (lambda ledger, row_id: ledger.resolve(row_id, "RB", "why", "Ada", grade_id=None), "not on hold"),
        (lambda ledger, _: ledger.move("no such id", "RB", "why", "Ada"), "no row no such id"),
        (lambda ledger, row_id: ledger.move(row_id, "RB", "why", " "), "who made it"),
        (lambda ledger, _: ledger.add_piece(brass(0), "Ada"), "more than 0 g"),
        (lambda ledger, _: ledger.add_piece(brass(pieces=0), "Ada"), "counts 1 or more"),
    ],
)
def test_senseless_acts_are_refused_and_leave_no_row(ledger: Ledger, act: object, message: str) -> None:
    """What makes no sense is refused with a reason, and nothing is written."""
    row = ledger.add_piece(brass(1200), "Ada")
    count = ledger.connection.execute("SELECT count(*) FROM ledger").fetchone()

    with pytest.raises(LedgerRefusal, match=message):
        act(ledger, row.row_id)  # type: ignore[operator]

    assert ledger.connection.execute("SELECT count(*) FROM ledger").fetchone() == count


def test_void_piece_cannot_be_moved(ledger: Ledger) -> None:
    """What is void must be taken back before it is mended."""
    row = ledger.add_piece(brass(), "Ada")
    ledger.void(row.row_id, "twice", "Ada")

    with pytest.raises(LedgerRefusal, match="Take the void back"):
        ledger.move(row.row_id, "RB", "why", "Ada")


def test_held_piece_is_resolved_with_new_findings(ledger: Ledger) -> None:
    """A piece on hold that is named leaves the shelf, keeps its tag for the record, and both findings."""
    row = ledger.add_piece(brass(bay="HO", tag=ledger.next_tag()), "Ada")
    assert [piece.tag for piece in waiting_pieces(ledger)] == ["T1-H1"]

    resolved = ledger.resolve(
        row.row_id, "RB", "shot again", "Ben", grade_id="C23000", sureness="settled", evidence={"shots": 2}
    )

    now = state(ledger, row.row_id)
    assert (now.bay, now.grade_id, now.is_held, now.tag, now.sureness) == (
        "RB",
        "C23000",
        False,
        "T1-H1",
        "settled",
    )
    assert words_of(now) == ("resolved HO -> RB as C23000: shot again (Ben)",)
    assert waiting_pieces(ledger) == []
    assert tally(ledger, "T1-0001").holds == ()
    assert kept_evidence(ledger, resolved.row_id) == {"shots": 2}
    assert "candidates" in kept_evidence(ledger, row.row_id)


def test_piece_goes_onto_hold_by_a_move_with_tag(ledger: Ledger) -> None:
    """A tallied piece that turns out doubtful is put on hold, and off again, by moves."""
    row = ledger.add_piece(brass(), "Ada")

    ledger.move(row.row_id, "HO", "plated?", "Ada", tag=ledger.next_tag())
    assert [hold.tag for hold in tally(ledger, "T1-0001").holds] == ["T1-H1"]
    ledger.move(row.row_id, "YB", "scratch is yellow", "Ada")

    assert tally(ledger, "T1-0001").holds == ()


def test_tags_count_up_and_never_come_twice(ledger: Ledger) -> None:
    """A tag number is not given again, not even after its piece was voided or resolved."""
    first = ledger.add_piece(brass(bay="HO", tag=ledger.next_tag()), "Ada")
    ledger.void(first.row_id, "gone", "Ada")
    assert ledger.next_tag() == "T1-H2"

    ledger.add_piece(brass(bay="HO", tag="T1-H999"), "Ada")
    ledger.add_piece(brass(bay="HO", tag=ledger.next_tag()), "Ada")

    assert ledger.next_tag() == "T1-H1001"


def test_tags_of_earlier_programs_are_read_and_counted_on(ledger: Ledger) -> None:
    """A piece that was marked H041 years ago still waits under that tag, and the next number is 42."""
    ledger.add_piece(brass(bay="HO", tag="H041"), "Ada")
    ledger.add_piece(brass(bay="HO", tag="T1-H7"), "Ada")

    assert ledger.next_tag() == "T1-H42"
    assert [piece.tag for piece in waiting_pieces(ledger)] == ["H041", "T1-H7"]
    ledger.resolve(waiting_pieces(ledger)[0].row_id, "YB", "scratched", "Ada", grade_id=None)
    assert [piece.tag for piece in waiting_pieces(ledger)] == ["T1-H7"]


def test_tags_of_two_terminals_of_a_yard_never_meet(tmp_path: Path) -> None:
    """Two stores count from one each; what is written on the pieces differs by the terminal."""
    tags = []
    for terminal in ("T1", "T2", "7"):
        with open_ledger(tmp_path / f"{terminal}.sqlite3", terminal=terminal) as one:
            one.open_run("Ada")
            for _ in range(12):
                tags.append(one.add_piece(brass(bay="HO", tag=one.next_tag()), "Ada").tag)

    assert len(set(tags)) == 36
    assert {"T1-H1", "T1-H12", "T2-H1", "T2-H12", "7-H12"} <= set(tags)


def test_correction_after_close_out_names_itself(ledger: Ledger) -> None:
    """A piece of a closed run can be mended by a row of its own, which says that it came late."""
    row = ledger.add_piece(brass(), "Ada")
    ledger.close_run("Ada")
    ledger.open_run("Ben")

    ledger.move(row.row_id, "RB", "found in the wrong box", "Ben")

    now = state(ledger, row.row_id)
    assert now.is_corrected_late
    assert words_of(now) == ("moved YB -> RB: found in the wrong box (Ben, after close-out)",)
    assert [bay.bay for bay in tally(ledger, "T1-0001").bays] == ["RB"]
    assert tally(ledger, "T1-0002").pieces == 0


def test_remarkable_pieces_are_those_with_something_to_say(ledger: Ledger) -> None:
    """Corrected, overridden and noted pieces are picked out of the run, plain ones are not."""
    from dataclasses import replace

    plain = ledger.add_piece(brass(), "Ada")
    moved = ledger.add_piece(brass(), "Ada")
    ledger.move(moved.row_id, "RB", "why", "Ada")
    overridden = ledger.add_piece(replace(brass(), is_override=True), "Ada")
    noted = ledger.add_piece(replace(brass(), note="bent"), "Ada")
    # A line that looks like the JSON of an override is only text.
    ledger.add_piece(replace(brass(), line='"is_override":true "note":'), "Ada")

    found = {piece.row_id for piece in remarkable_pieces(ledger, "T1-0001")}

    assert found == {moved.row_id, overridden.row_id, noted.row_id}
    assert plain.row_id in {piece.row_id for piece in piece_states(ledger, "T1-0001")}
