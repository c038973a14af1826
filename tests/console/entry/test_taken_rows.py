"""The journal of taken rows: what was given back, and how far a ledger was followed."""

from pathlib import Path

from console.readings.taken_rows import TakenRows


def test_rows_given_back_are_open_again_and_their_file_is_read_anew(tmp_path: Path) -> None:
    """Over a restart too; the other rows of the file stay taken, and taking them again is possible."""
    path = tmp_path / "journal"
    with TakenRows.open(path) as journal:
        journal.take("a.csv", ["r1", "r2"], done=(10, 20))
        journal.give_back("a.csv", ["r1", "never taken"])
    with TakenRows.open(path) as journal:
        assert ("r1" in journal, "r2" in journal) == (False, True)
        assert not journal.is_done("a.csv", (10, 20))
        journal.take("b.csv", ["r1"])
    with TakenRows.open(path) as journal:
        assert journal.file_of("r1") == "b.csv"


def test_the_newest_ledger_row_is_noted(tmp_path: Path) -> None:
    """Marks of others do not hide it, and a note without rows is kept as well."""
    path = tmp_path / "journal"
    with TakenRows.open(path) as journal:
        assert journal.noted == ""
        journal.take("a.csv", ["r1"], by="L1")
        journal.take("a.csv", ["r2"])
        assert journal.noted == "L1"
        journal.take("", (), by="L2")
    with TakenRows.open(path) as journal:
        assert journal.noted == "L2"


def test_what_a_ledger_took_can_be_given_back_as_a_whole(tmp_path: Path) -> None:
    """A store was put back to an older state: its rows are open, those that others took are not."""
    path = tmp_path / "journal"
    with TakenRows.open(path) as journal:
        journal.take("a.csv", ["r1"], by="L1")
        journal.take("b.csv", ["r2"])
        journal.take("a.csv", ["r3"], by="L2")
        journal.give_back("a.csv", ["r3"], by="L3")
        journal.give_back_noted()
    with TakenRows.open(path) as journal:
        assert [row for row in ("r1", "r2", "r3") if row in journal] == ["r2"]
