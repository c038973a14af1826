"""The receipt for a supplier: what was brought, how it looked, who pays."""

from dataclasses import replace

from console.ledger.keeping.store import Ledger
from console.reports.consigning.paper import Table, paper_html
from console.reports.consigning.receipt import OPEN, looks_of, receipt
from console.reports.paperwork.purchase_sheet import purchase_sheet
from console.yard.yard import Yard
from tests.console.ledger.clock import brass
from tests.console.reports.test_purchase_sheet import NOW


def brought(ledger: Ledger, **facts: object) -> str:
    """Tally a kilogram of brass of which that was typed; return its row."""
    entry = replace(brass(1_000), supplier="Holt", load="L1", evidence={"facts": facts})
    return ledger.add_piece(entry, "Ada").row_id


def test_form_and_condition_are_those_typed(ledger: Ledger) -> None:
    """Each is named once, in the order of the pieces; a piece of which nothing was typed adds nothing."""
    rows = [
        brought(ledger, form="valve", surfaces=["painted"]),
        brought(ledger),
        brought(ledger, form="tube", surfaces=["painted", "oily"], has_attachments=True),
    ]

    looks = looks_of(ledger, rows)

    assert looks.forms == ("valve", "tube")
    assert looks.conditions == ("painted", "oily", "attachments")


def test_what_was_not_said_is_left_to_be_written_and_typed_words_are_text(ledger: Ledger, yard: Yard) -> None:
    """Without vehicle and payer there is a line to write on; a name with markup in it is shown as it is."""
    bays = tuple(replace(bay, buying_per_kg=3.21 if bay.code == "YB" else None) for bay in yard.bays)
    yard = replace(yard, bays=bays)
    brought(ledger, form="valve")
    sheet = purchase_sheet(ledger, yard, NOW, supplier="Holt", load="L1")

    paper = receipt(ledger, sheet, (), "ab12", payer="<b>Ada</b>")

    facts = dict(paper.facts)
    assert (facts["supplier"], facts["vehicle"], facts["to pay"]) == ("Holt", OPEN, "3.21 EUR")
    table = paper.blocks[0]
    assert isinstance(table, Table)
    assert table.rows[0][1:3] == ("valve", "-") and table.rows[0][-2:] == ("3.21", "3.21")
    assert "&lt;b&gt;Ada&lt;/b&gt;" in paper_html(paper)
