"""The tally as text and as JSON."""

import json
from dataclasses import replace

from console.ledger.keeping.store import Ledger
from console.ledger.views.period import GroupBy, pieces_between, totals_by
from console.ledger.views.tally import tally
from console.reports.tally_text import tally_json, tally_text, totals_text
from console.yard.yard import Yard
from tests.console.ledger.clock import brass


def test_json_has_pieces_weight_and_bays(ledger: Ledger, yard: Yard) -> None:
    """The JSON names pieces, net weight in kg and every bay, whatever the yard's own unit."""
    ledger.add_piece(brass(1234, pieces=2), "Ada")
    ledger.add_piece(brass(766, bay="HO", tag="H001"), "Ada")

    found = json.loads(json.dumps(tally_json(tally(ledger, "T1-0001"), replace(yard, weight_unit="lb"))))

    assert found["pieces"] == 3
    assert found["net_kg"] == 2.0
    assert found["holds"] == ["H001"]
    assert found["bays"] == [
        {"bay": "YB", "name": "yellow brass", "pieces": 2, "net_kg": 1.234},
        {"bay": "HO", "name": "hold shelf", "pieces": 1, "net_kg": 0.766},
    ]


def test_text_shows_the_yards_unit(ledger: Ledger, yard: Yard) -> None:
    """Weights are shown in the unit of the yard, in columns."""
    ledger.add_piece(brass(45_359, pieces=3), "Ada")

    text = tally_text(tally(ledger, "T1-0001"), replace(yard, weight_unit="lb"), width=60)

    assert text.split("\n") == [
        "run T1-0001, open, worked by Ada",
        "bay                                   pieces          weight",
        "YB    yellow brass                         3       100.00 lb",
        "total                                      3       100.00 lb",
    ]


def test_empty_run_has_a_total_of_nothing(ledger: Ledger, yard: Yard) -> None:
    """A run without pieces has its head and a total of 0."""
    assert tally_text(tally(ledger, "T1-0001"), yard).split("\n")[-1].split() == ["total", "0", "0.00", "kg"]


def test_sums_over_runs_stand_in_columns_of_the_width(ledger: Ledger, yard: Yard) -> None:
    """Name, pieces and weight, all lines as wide as asked; a name that nobody said is told."""
    ledger.add_piece(replace(brass(1234, pieces=2), supplier="Holt"), "Ada")
    ledger.add_piece(brass(766), "Ada")
    totals = totals_by(pieces_between(ledger), GroupBy.SUPPLIER)

    assert totals_text(totals, GroupBy.SUPPLIER, yard, width=44).split("\n") == [
        "supplier              pieces          weight",
        "Holt                       2        1.234 kg",
        "not said                   1        0.766 kg",
        "total                      3        2.000 kg",
    ]
