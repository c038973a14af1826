"""The sums of a run agree with its pieces, whatever was done to them."""

from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from console.ledger.keeping.store import Ledger
from console.ledger.keeping.verify import verify
from console.ledger.rows.errors import LedgerRefusal
from console.ledger.rows.queries import LedgerReader
from console.ledger.rows.rows import BayTotal, PieceState
from console.ledger.views.piece_state import piece_states, waiting_pieces
from console.ledger.views.tally import tally, tally_since
from tests.console.ledger.clock import brass, open_ledger

BAYS = ("YB", "RB", "SS", "HO")
Act = tuple[str, int, int]
ACTS = st.lists(
    st.tuples(
        st.sampled_from(["add", "hold", "void", "unvoid", "move", "onto hold", "reweigh", "resolve"]),
        st.integers(0, 30),
        st.integers(1, 5000),
    ),
    max_size=40,
)


def do(ledger: Ledger, act: Act) -> None:
    """Do one act of a random history; what makes no sense is refused by the ledger."""
    name, number, amount = act
    pieces = piece_states(ledger, "T1-0001")
    if name in ("add", "hold"):
        tag = ledger.next_tag() if name == "hold" else None
        ledger.add_piece(
            brass(amount, bay="HO" if tag else BAYS[number % 3], pieces=number % 4 + 1, tag=tag), "Ada"
        )
        return
    if not pieces:
        return
    row_id, bay = pieces[number % len(pieces)].row_id, BAYS[amount % 3]
    match name:
        case "void":
            ledger.void(row_id, "why", "Ada")
        case "unvoid":
            ledger.unvoid(row_id, "why", "Ada")
        case "move":
            ledger.move(row_id, bay, "why", "Ada")
        case "onto hold":
            ledger.move(row_id, "HO", "why", "Ada", tag=ledger.next_tag())
        case "reweigh":
            ledger.reweigh(row_id, amount, "why", "Ada", pieces=number % 3 + 1)
        case "resolve":
            ledger.resolve(row_id, bay, "why", "Ada", grade_id=None)


def totals(pieces: list[PieceState]) -> dict[str, tuple[int, int, int]]:
    """Return entries, pieces and mass by bay, added up one by one."""
    sums: dict[str, tuple[int, int, int]] = {}
    for piece in pieces:
        if not piece.is_void:
            entries, count, mass_g = sums.get(piece.bay, (0, 0, 0))
            sums[piece.bay] = (entries + 1, count + piece.pieces, mass_g + piece.mass_g)
    return sums


@settings(max_examples=40, deadline=None)
@given(acts=ACTS)
def test_sums_agree_with_the_pieces_after_any_history(acts: list[Act]) -> None:
    """Tally, piece states, hold shelf and chain agree after every random history, for writer and reader."""
    with TemporaryDirectory() as folder, open_ledger(Path(folder) / "yard.sqlite3") as ledger:
        ledger.open_run("Ada")
        for act in acts:
            try:
                do(ledger, act)
            except LedgerRefusal:
                continue

        sums, pieces = tally(ledger, "T1-0001"), piece_states(ledger, "T1-0001")

        expected = totals(pieces)
        assert {bay.bay: (bay.entries, bay.pieces, bay.mass_g) for bay in sums.bays} == expected
        assert sums.mass_g == sum(mass_g for *_, mass_g in expected.values())
        held = [piece for piece in pieces if piece.is_held and not piece.is_void]
        assert list(sums.holds) == held == waiting_pieces(ledger)
        with LedgerReader.open(ledger.path) as reader:
            assert tally(reader, "T1-0001") == sums
            assert verify(reader).findings == ()


def test_bays_stand_in_order_of_their_first_piece(ledger: Ledger) -> None:
    """Bays keep their place; one that lost all its pieces is gone."""
    first = ledger.add_piece(brass(100, bay="SS"), "Ada")
    ledger.add_piece(brass(200, bay="YB", pieces=3), "Ada")
    ledger.add_piece(brass(300, bay="RB"), "Ada")

    ledger.move(first.row_id, "RB", "why", "Ada")

    assert tally(ledger, "T1-0001").bays == (
        BayTotal(bay="RB", pieces=2, mass_g=400, entries=2),
        BayTotal(bay="YB", pieces=3, mass_g=200, entries=1),
    )


def test_tally_of_no_run_is_refused(ledger: Ledger) -> None:
    """Asking for a run that is not there says so."""
    with pytest.raises(LedgerRefusal, match="no run T9-0001"):
        tally(ledger, "T9-0001")


def test_several_pieces_since_the_last_look_are_added_once(ledger: Ledger) -> None:
    """Sums that follow the ledger by two pieces at a time are those of all of it."""
    ledger.add_piece(brass(1000), "Ada")
    sums = tally(ledger, "T1-0001")
    for _ in range(2):
        ledger.add_piece(brass(200), "Ada")
        ledger.add_piece(brass(30, pieces=2), "Ada")
        sums = tally_since(ledger, sums)

    assert (sums.pieces, sums.mass_g) == (7, 1_460)
    assert sums == tally(ledger, "T1-0001")
