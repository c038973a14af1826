"""Shots on check samples: from a row of the ledger to a record, and back."""

from collections.abc import Mapping
from typing import Any

from console.ledger.rows.connection import LedgerSource
from console.ledger.rows.rows import Row
from console.ledger.rows.runs import OF_ALL_RUNS
from console.ledger.views.piece_state import standing_rows
from console.yard.coupons.check_samples import ElementCheck
from console.yard.coupons.check_state import CheckShot


def check_shots(source: LedgerSource) -> list[CheckShot]:
    """Return every shot on a check sample, of all runs, oldest first; voided ones are left out."""
    return [shot_of(row) for row in standing_rows(source, f"kind = 'check' AND {OF_ALL_RUNS}")]


def shot_of(row: Row) -> CheckShot:
    """Return the shot that a row keeps; elements without known value and σ are no check and left out."""
    elements = [element for element in row.body.get("elements", ()) if "sigma" in element]
    return CheckShot(
        sample=str(row.body.get("sample", "")),
        technique=str(row.body.get("technique", "")),
        at=row.at_utc,
        person=row.person,
        elements=tuple(
            ElementCheck(
                symbol=element["symbol"],
                measured=element["measured"],
                known=element["known"],
                sigma=element["sigma"],
                is_below=element.get("is_below", False),
            )
            for element in elements
        ),
    )


def body_of(shot: CheckShot, line: str, said: Mapping[str, Any]) -> dict[str, Any]:
    """Return what the ledger keeps of a shot: as typed, as scored, and what was said of it then.

    Args:
        shot: The shot.
        line: The readings as typed.
        said: State, broken rules and advice at the time; JSON-ready.
    """
    elements = [
        {
            "symbol": element.symbol,
            "measured": element.measured,
            "known": element.known,
            "sigma": element.sigma,
            "bias": element.bias,
            "z": element.z,
        }
        | ({"is_below": True} if element.is_below else {})
        for element in shot.elements
    ]
    return {
        "sample": shot.sample,
        "technique": shot.technique,
        "line": line,
        "elements": elements,
        **said,
    }
