"""Uniform lots survive in the ledger, check by check."""

from console.ledger.keeping.store import Ledger
from console.ledger.keeping.verify import verify
from console.ledger.rows.lot_rows import lots_of, next_lot_id
from console.ledger.rows.rows import RowKind
from console.ledger.rows.runs import open_run_id
from console.yard.lots.uniform_lot import start_lot


def test_a_lot_is_resumed_where_it_was_left(ledger: Ledger) -> None:
    """After a power cut the newest row of each lot says what was checked and what is due."""
    run_id = open_run_id(ledger)
    lot = start_lot(next_lot_id(ledger, run_id), "6061", 40, seed=5, accept=1)
    ledger.append(RowKind.LOT, person="Ada", body=lot.to_json())
    other = start_lot(next_lot_id(ledger, run_id), "304", None, seed=6)
    ledger.append(RowKind.LOT, person="Ada", body=other.to_json())
    for is_right in (True, False, True):
        lot = lot.record(is_right=is_right, found="" if is_right else "2024")
        ledger.append(RowKind.LOT, person="Ada", body=lot.to_json())

    found = lots_of(ledger, run_id)

    assert list(found) == [f"{run_id}-L01", f"{run_id}-L02"]
    assert found[f"{run_id}-L01"] == lot
    assert found[f"{run_id}-L01"].next_pick == lot.next_pick
    assert found[f"{run_id}-L02"] == other


def test_lots_change_no_sums(ledger: Ledger) -> None:
    """A lot's rows weigh nothing; the lot is tallied by a piece of its own."""
    before = ledger.connection.execute("SELECT total(mass_g) FROM ledger").fetchone()
    ledger.append(RowKind.LOT, person="Ada", body=start_lot("L1", "6061", 40, seed=5).to_json())

    assert ledger.connection.execute("SELECT total(mass_g) FROM ledger").fetchone() == before


def test_the_chain_holds_lots_too(ledger: Ledger) -> None:
    """Rows of lots are links of the chain like all others."""
    ledger.append(RowKind.LOT, person="Ada", body=start_lot("L1", "6061", 40, seed=5).to_json())

    assert verify(ledger).findings == ()
