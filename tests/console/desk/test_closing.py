"""Tickets with deductions, loads, holds that are signed for, and who signs the run."""

from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest

from console.desk import Desk, DeskRefusal
from console.desk.ticket_line import TicketTyped, read_ticket_line
from console.ledger.rows.errors import LedgerRefusal
from console.ledger.rows.queries import rows_where


@pytest.fixture
def desk(yard_folder: Path, clock: Callable[[], datetime]) -> Desk:
    """A run with a piece and two holds."""
    desk = Desk.open(yard_folder, now=clock)
    for line in ("100 304", "2 ?", "3 ?"):
        desk.tally(desk.consider(line))
    return desk


def test_moisture_and_dirt_come_off_the_net(desk: Desk) -> None:
    """Dirt first, then moisture of what is left; the difference is against what remains."""
    desk.closing.add_ticket(
        TicketTyped(
            gross="210", tare="100", note="T1", moisture="2%", dirt="10kg", supplier="Old Mill", load="7"
        )
    )

    [ticket] = desk.sums().tickets
    assert (ticket.net_g, ticket.deduction_g, ticket.clean_g) == (110_000, 12_000, 98_000)
    assert (ticket.supplier, ticket.load) == ("Old Mill", "7")


@pytest.mark.parametrize("more", [{"moisture": "wet"}, {"dirt": "some"}])
def test_a_deduction_that_cannot_be_read_is_refused(desk: Desk, more: dict[str, str]) -> None:
    """Nothing is written."""
    with pytest.raises(DeskRefusal):
        desk.closing.add_ticket(TicketTyped(gross="210", tare="100", **more))

    assert desk.sums().tickets == ()


def test_a_deduction_of_everything_is_refused(desk: Desk) -> None:
    """A hundred per cent of water is no load."""
    with pytest.raises(LedgerRefusal, match="Moisture 100"):
        desk.closing.add_ticket(TicketTyped(gross="210", tare="100", moisture="100"))


def test_loads_are_held_against_their_own_tickets(desk: Desk) -> None:
    """Pieces of a load against the tickets of that load, and the rest apart."""
    assert [(one.supplier, one.load) for one in desk.closing.loads()] == [("", "")]
    desk.piece.begin_load("Old Mill", "7")
    desk.tally(desk.consider("50 brass"))
    desk.closing.add_ticket(TicketTyped(gross="150", tare="100", supplier="old mill", load="7"))

    found = {(one.supplier.casefold(), one.load): one.difference for one in desk.closing.loads()}
    assert found[("old mill", "7")].difference_g == 0
    assert found[("", "")].tally_g == 105_000 and not found[("", "")].has_ticket


def test_a_ticket_is_called_by_its_number_in_the_run(desk: Desk) -> None:
    """The second ticket is the second one in the parts of its own load too."""
    for line in ("1240 360 load 7", "900 100 load 8"):
        desk.closing.add_ticket(read_ticket_line(line))

    causes = {gap.load: gap.difference.parts[0].cause for gap in desk.closing.loads()}
    assert causes["7"].startswith("ticket 1, gross") and causes["8"].startswith("ticket 2, gross")


def test_a_load_outside_its_tolerance_is_explained_though_the_run_is_inside(desk: Desk) -> None:
    """Two loads that make up for each other: the close-out asks for words, and names the load."""
    desk.piece.begin_load("Old Mill", "7")
    desk.tally(desk.consider("50 304"))
    desk.piece.begin_load("Harrow", "8")
    desk.tally(desk.consider("50 304"))
    desk.closing.add_ticket(TicketTyped(gross="105", tare="0", note="no load"))
    desk.closing.add_ticket(TicketTyped(gross="60", tare="0", note="T1", supplier="Old Mill", load="7"))
    desk.closing.add_ticket(TicketTyped(gross="40", tare="0", note="T2", supplier="Harrow", load="8"))

    wanted = desk.closing.words_wanted()

    assert wanted.startswith(
        "Explain it in words, or mend a ticket or a piece. Load Old Mill 7: the difference"
    )
    assert "of -10.00 kg is outside the tolerance" in wanted
    with pytest.raises(DeskRefusal, match="Load"):
        desk.closing.close_run()
    file = desk.closing.close_run("a drum stood on the wrong scale").made
    assert "a drum stood on the wrong scale" in file.read_text(encoding="utf-8")


def test_the_close_row_says_who_signed_and_for_what(desk: Desk) -> None:
    """One hold is signed for, the other carried over; both stand in the row and the first in the handover."""
    run_id = desk.run().run_id
    signed_for = {"T1-H1": "goes back to the customer"}
    file = desk.closing.close_run("no scale", signed_by="marit", signed_for=signed_for).made

    [row] = rows_where(desk.ledger, "run_id = ? AND kind = 'close'", (run_id,))
    assert row.person == "Marit"
    assert row.body["figures"]["signed_by"] == "Marit"
    assert row.body["figures"]["signed_for"] == {"T1-H1": "goes back to the customer"}
    assert row.body["carried_holds"] == ["T1-H1", "T1-H2"]
    assert "T1-H1 is signed for by Marit" in " ".join(file.read_text(encoding="utf-8").split())


@pytest.mark.parametrize(
    ("signed_by", "signed_for"), [("Nobody", {}), (None, {"T1-H9": "x"}), (None, {"T1-H1": "  "})]
)
def test_a_wrong_signature_leaves_the_run_open(
    desk: Desk, signed_by: str | None, signed_for: dict[str, str]
) -> None:
    """Unknown signer, a tag that does not wait, no words: refused, nothing closed."""
    with pytest.raises(DeskRefusal):
        desk.closing.close_run("no scale", signed_by=signed_by, signed_for=signed_for)

    assert not desk.run().is_closed


def test_a_late_correction_says_that_it_is_late(desk: Desk) -> None:
    """After the run is closed a correction is its own row and shows in every report as such."""
    from console.desk import handover_of
    from console.reports.closing.handover_text import as_text

    run_id, at = desk.run().run_id, desk.run().opened_utc
    piece = desk.review.pieces()[-1]
    desk.closing.close_run("no scale")
    desk.ledger.open_run("Jory")
    desk.review.reweigh(piece.row_id, "90", "scale was off")

    text = " ".join(as_text(handover_of(desk.ledger, run_id, desk.yard, at, desk.bays.book.sums())).split())
    assert "after close-out" in text and "scale was off" in text


def test_a_run_whose_handover_cannot_be_written_stays_open(
    desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The close row and the handover are one act: without the sheet there is no row."""

    def full(*_: object) -> None:
        raise DeskRefusal("no room on the disk")

    monkeypatch.setattr("console.desk.closing.write_or_refuse", full)

    with pytest.raises(DeskRefusal, match="no room"):
        desk.closing.close_run("no ticket today")
    assert not desk.run().is_closed
    assert rows_where(desk.ledger, "kind = 'close'") == []
