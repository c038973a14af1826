"""A buyer's complaint against a bale: written once, bounded by the bale, voidable, found again."""

from collections.abc import Callable, Iterator
from datetime import datetime
from pathlib import Path

import pytest

from console.ledger.keeping.store import Ledger
from console.ledger.keeping.verify import verify
from console.ledger.rows.errors import LedgerRefusal
from console.ledger.rows.runs import open_run_id
from console.ledger.views.downgrades import downgrades, enter_downgrade, find_draw_down
from console.ledger.views.tally import tally


@pytest.fixture
def ledger(tmp_path: Path, clock: Callable[[], datetime]) -> Iterator[Ledger]:
    opened = Ledger.open(tmp_path / "yard.sqlite3", now=clock, terminal="T1")
    opened.open_run("Ada")
    yield opened
    opened.close()


def bale(ledger: Ledger, tag: str = "T1-STN-0001", bay: str = "STN", mass_g: int = 800_000) -> str:
    return ledger.draw_down(bay, mass_g, "Ada", reason="sold", body={"bale": tag}).row_id


def test_a_downgrade_stands_beside_its_bale_and_in_the_notes(ledger: Ledger) -> None:
    """It may come in when the run of the bale is closed long since; that run stays as it was signed."""
    row_id = bale(ledger)
    first = open_run_id(ledger)
    ledger.close_run("Ada")
    signed = tally(ledger, first)
    ledger.open_run("Bo")

    enter_downgrade(
        ledger,
        find_draw_down(ledger, "t1-stn-0001"),
        120_000,
        "Bo",
        loss=109.2,
        reason="Cu 1.4 in the melt",
        grade_id="201",
        currency="EUR",
    )

    (found,) = downgrades(ledger)
    assert (found.draw_down_id, found.bale, found.bay, found.mass_g) == (
        row_id,
        "T1-STN-0001",
        "STN",
        120_000,
    )
    assert (found.loss, found.reason, found.grade_id) == (109.2, "Cu 1.4 in the melt", "201")
    assert tally(ledger, open_run_id(ledger)).notes == (
        "120.00 kg of bale T1-STN-0001 downgraded by the buyer: Cu 1.4 in the melt; lost 109.20 EUR",
    )
    after = tally(ledger, first)
    assert (after.notes, after.mass_g, after.draw_downs) == (signed.notes, signed.mass_g, signed.draw_downs)
    assert verify(ledger).findings == ()


def test_no_more_can_be_downgraded_than_was_sold(ledger: Ledger) -> None:
    """Downgrades of a bale add up to no more than its weight."""
    bale(ledger, mass_g=100_000)
    sold = find_draw_down(ledger, "STN")
    enter_downgrade(ledger, sold, 80_000, "Ada", loss=10, reason="paint")

    with pytest.raises(LedgerRefusal, match=r"weighed 100\.00 kg, of which 80\.00 kg are downgraded already"):
        enter_downgrade(ledger, sold, 20_001, "Ada", loss=10, reason="paint")
    with pytest.raises(LedgerRefusal, match=r"weighed 220\.46 lb, of which 176\.37 lb"):
        enter_downgrade(ledger, sold, 20_001, "Ada", loss=10, reason="paint", unit="lb")
    row = enter_downgrade(ledger, sold, 20_000, "Ada", loss=10, reason="paint", unit="lb")

    assert str(row.body["text"]).startswith("44.09 lb of ")
    assert sum(one.mass_g for one in downgrades(ledger)) == 100_000


@pytest.mark.parametrize(
    ("mass_g", "loss", "reason"), [(0, 1.0, "paint"), (-5, 1.0, "paint"), (10, -1.0, "paint"), (10, 1.0, " ")]
)
def test_what_makes_no_sense_is_refused(ledger: Ledger, mass_g: int, loss: float, reason: str) -> None:
    """A downgrade without weight, reason or with a gain is refused and leaves no row."""
    bale(ledger)

    with pytest.raises(LedgerRefusal):
        enter_downgrade(ledger, find_draw_down(ledger, "STN"), mass_g, "Ada", loss=loss, reason=reason)

    assert downgrades(ledger) == []


def test_a_voided_downgrade_counts_no_more(ledger: Ledger) -> None:
    """A voided downgrade is out of the list."""
    bale(ledger)
    row = enter_downgrade(ledger, find_draw_down(ledger, "STN"), 10_000, "Ada", loss=1, reason="paint")

    ledger.void(row.row_id, "wrong bale", "Ada")

    assert downgrades(ledger) == []


def test_a_bale_is_found_by_tag_row_or_bay_and_a_voided_one_is_not(ledger: Ledger) -> None:
    """A bale is found by each of its names, the newest of a bay first, a voided one never."""
    first, second = bale(ledger), bale(ledger, "T1-STN-0002")

    assert find_draw_down(ledger, "T1-STN-0001").row_id == first
    assert find_draw_down(ledger, "stn").row_id == second
    assert find_draw_down(ledger, first).row_id == first

    ledger.void(second, "not loaded", "Ada")
    assert find_draw_down(ledger, "stn").row_id == first
    with pytest.raises(LedgerRefusal, match="The newest: T1-STN-0001"):
        find_draw_down(ledger, "T1-STN-0002")


def test_an_empty_ledger_says_that_nothing_was_drawn_down(ledger: Ledger) -> None:
    """Where nothing was drawn down, that is what is said."""
    with pytest.raises(LedgerRefusal, match="Nothing was taken out"):
        find_draw_down(ledger, "STN")


def test_a_note_that_only_speaks_of_a_downgrade_is_none(ledger: Ledger) -> None:
    """What people type is text: it never passes for figures."""
    ledger.note('"downgrade": {"mass_g": 5}', "Ada")

    assert downgrades(ledger) == []
