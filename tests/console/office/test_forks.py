"""A ledger that went two ways is kept both ways; a person decides which one counts."""

import sqlite3
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from console.ledger.keeping.store import Ledger
from console.ledger.rows.queries import LedgerReader
from console.office.address import Connection
from console.office.comparing import compare
from console.office.errors import OfficeError
from console.office.forks import accept
from console.office.gathering import Gathered, gather
from console.office.telling import told_of_compared, told_of_gathered
from tests.console.ledger.clock import START, SteppingClock, brass
from tests.console.office.conftest import NORTH


def gathered(store: Path, office: Connection, batch_rows: int = 5_000) -> Gathered:
    with LedgerReader.open(store) as reader:
        return gather(reader, office, NORTH, batch_rows=batch_rows)


@pytest.fixture
def forked(ledger: Ledger, store: Path, office: Connection, tmp_path: Path) -> Iterator[Path]:
    """A copy of the store on which work went on beside the store; the office has the store's rows."""
    ledger.add_piece(brass(1000), "Ada")
    copy = tmp_path / "copy" / store.name
    copy.parent.mkdir()
    with sqlite3.connect(store) as source, sqlite3.connect(copy) as to:
        source.backup(to)
    ledger.add_piece(brass(2000, tag="T1-H1", bay="HLD"), "Ada")
    gathered(store, office)
    later = SteppingClock(START + timedelta(hours=1))
    with Ledger.open(copy, now=later, terminal="T1", go_on=True) as other:
        other.add_piece(brass(4000, tag="T1-H1", bay="HLD"), "Bo")
        other.add_piece(brass(8000), "Bo")
        yield copy


def lying_g(office: Connection) -> int:
    found = office.execute("SELECT coalesce(sum(lying_g), 0) FROM baywright.stock_v").fetchone()
    return int(found[0]) if found else 0


def test_both_ways_are_kept_and_tags_issued_twice_are_named(
    forked: Path, store: Path, office: Connection
) -> None:
    """The second way is a chain of its own, told with the last common row and the tags that met."""
    done = gathered(forked, office)

    assert (done.rows, done.common_seq, done.twice, done.is_done) == (4, 2, ("T1-H1",), False)
    told = "\n".join(told_of_gathered(done))
    assert "FORK: the office had other rows after row 2" in told
    assert "tags issued twice: T1-H1" in told
    assert office.execute(
        "SELECT branch, count(*) FROM baywright.ledger_row JOIN baywright.chain USING "
        "(chain) GROUP BY 1 ORDER BY 1"
    ).fetchall() == [(0, 3), (1, 4)]
    for one in (store, forked):
        with LedgerReader.open(one) as reader:
            assert compare(reader, office).is_even


def test_nothing_counts_twice_and_the_decision_of_a_person_counts(forked: Path, office: Connection) -> None:
    """The first way counts until somebody decides; then the one that was named last."""
    done = gathered(forked, office)
    assert lying_g(office) == 3000
    assert done.standing.chain is not None
    later, first = done.standing.chain.chain, done.standing.chain.chain - 1

    accept(office, later, "Ada")
    assert lying_g(office) == 13_000
    assert gathered(forked, office).is_done
    accept(office, first, "Ada")

    assert lying_g(office) == 3000


def test_a_decision_names_a_person_and_a_chain_that_is_there(forked: Path, office: Connection) -> None:
    """A decision without a name, or on a chain that the office has not, is refused."""
    with pytest.raises(OfficeError, match="--person"):
        accept(office, 1, "  ")
    with pytest.raises(OfficeError, match="has no chain 77"):
        accept(office, 77, "Ada")


def test_a_fork_that_was_cut_off_is_gone_on_with(forked: Path, store: Path, office: Connection) -> None:
    """A fork whose gather ended early is the beginning of both ways; each store still finds its own chain."""

    def stop(done: int, total: int) -> None:
        raise KeyboardInterrupt

    with LedgerReader.open(forked) as reader, pytest.raises(KeyboardInterrupt):
        gather(reader, office, NORTH, tell=stop, batch_rows=1)

    assert gathered(store, office).rows == 0
    assert gathered(forked, office).rows == 3


def test_compare_tells_a_fork_without_writing(forked: Path, office: Connection) -> None:
    """A comparison names the last common row and leaves the office as it was."""
    with LedgerReader.open(forked) as reader:
        found = compare(reader, office)

    assert "FORK: store and office went apart after row 2" in told_of_compared(found)
    assert office.execute("SELECT count(*) FROM baywright.chain").fetchone() == (1,)


def test_a_second_ledger_of_the_same_name_is_told(
    ledger: Ledger, store: Path, office: Connection, tmp_path: Path
) -> None:
    """Two ledgers under one yard and terminal name are kept apart, and it is told that their tags meet."""
    gathered(store, office)
    with Ledger.open(tmp_path / "other.sqlite3", now=SteppingClock(), terminal="T1") as other:
        other.open_run("Bo")
        done = gathered(tmp_path / "other.sqlite3", office)

    assert done.rows == 1
    assert "bears the same yard and terminal" in "\n".join(told_of_gathered(done))
