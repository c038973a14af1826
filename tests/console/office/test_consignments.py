"""What lies in which consignment and how far it is, reckoned by the office as on the terminal."""

from datetime import UTC, datetime
from decimal import Decimal
from pathlib import Path

from console.ledger.consignments.standing import consignments
from console.ledger.keeping.store import Ledger
from console.ledger.rows.queries import LedgerReader
from console.office.address import Connection
from console.office.gathering import gather
from console.office.picture import picture_of
from console.reports.paperwork.picture_report import picture_text
from tests.console.ledger.clock import brass
from tests.console.office.conftest import NORTH

LONG_AGO, FAR = datetime(2020, 1, 1, tzinfo=UTC), datetime(2099, 1, 1, tzinfo=UTC)
FINDING = {"finding": {"net_g": 980, "paid_cents": 123450, "lost_cents": 0, "words": "wet"}}


def worked(ledger: Ledger) -> None:
    """Leave one consignment open, one sealed, one sent, one settled, and one taken back."""
    ledger.add_piece(brass(90_000), "Ada")
    for number in range(1, 8):
        ledger.draw_down("YB", 1000 + number, "Ada", body={"bale": f"T1-YB-{number}"})
    own = ledger.consignments
    own.begin("RX1", "O1", "Ada")
    own.put("T1-C1", ["T1-YB-1", "T1-YB-2"], [("YB", 500), ("YB", 70)], "Ada")
    own.take("T1-C1", ["T1-YB-1", "YB"], "Ada")
    ledger.void(own.put("T1-C1", ["T1-YB-3"], [], "Ada").row_id, "not that", "Ada")
    ledger.void(own.take("T1-C1", ["T1-YB-2"], "Ada").row_id, "it stays", "Ada")
    for tag, bale in (("T1-C2", "T1-YB-4"), ("T1-C3", "T1-YB-5"), ("T1-C4", "T1-YB-6")):
        own.begin("RX2", "", "Ada")
        own.put(tag, [bale], [], "Ada")
        own.weigh(tag, 9000, 1000, "Ada", unit="kg")
        own.weigh(tag, 9000, 7900, "Ada", unit="kg")
        own.seal(tag, "Ada", sheet={"currency": "EUR"}, drawn={})
    for tag in ("T1-C3", "T1-C4"):
        own.send(tag, "Bo", vehicle="KH 12")
    own.found("T1-C4", "Ada", findings={"finding": {**FINDING["finding"], "paid_cents": 1}})
    own.found("T1-C4", "Ada", findings=FINDING)
    ledger.void(own.begin("RX3", "", "Ada").row_id, "never mind", "Ada")


def test_the_office_reckons_consignments_as_the_terminal_does(
    ledger: Ledger, store: Path, office: Connection
) -> None:
    """State, parts and weight agree, whatever was taken out, taken back or weighed again."""
    worked(ledger)
    with LedgerReader.open(store) as reader:
        gather(reader, office, NORTH, batch_rows=3)
        ours = [
            (one.tag, one.buyer, one.order, one.state.value, len(one.parts), one.net_g)
            for one in consignments(reader).values()
        ]

    theirs = office.execute(
        "SELECT consignment, buyer, order_code, state, parts, net_g FROM baywright.consignment_v "
        "ORDER BY consignment"
    ).fetchall()

    assert theirs == ours
    assert ours[0] == ("T1-C1", "RX1", "O1", "open", 2, 1502)
    assert [one[-1] for one in ours[1:]] == [1100, 1100, 1100]


def test_the_picture_shows_what_is_not_settled_and_what_was(
    ledger: Ledger, store: Path, office: Connection
) -> None:
    """Open, sealed and sent ones whenever they were begun, a settled one in its days with what was paid."""
    worked(ledger)
    with LedgerReader.open(store) as reader:
        gather(reader, office, NORTH)

    seen = picture_of(office, start=LONG_AGO, end=FAR)
    today = picture_of(office, start=FAR, end=FAR)

    assert [(one.consignment, one.paid) for one in seen.consignments if one.found_at] == [
        ("T1-C4", Decimal("1234.5"))
    ]
    assert {one.consignment for one in today.consignments} == {"T1-C1", "T1-C2", "T1-C3"}
    (line,) = [one for one in picture_text(seen, 100).splitlines() if "settled" in one]
    assert line.split()[1:4] == ["T1-C4", "RX2", "settled"]
    assert line.endswith("1234.50 EUR")
