"""What was found of a piece on hold beside what its line said."""

from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest

from console.desk import Desk

READ = "cr18.2 ni8.1 fe71.5 mn1.5 si0.4"


@pytest.mark.parametrize(
    ("entered", "found", "line"),
    [
        ("12.4 m0 cr11 ni2 libs ?", READ, f"m0 {READ}"),
        ("12.4 m0 cr18 ni8.1 ?", f"/ {READ}", f"m0 cr18 ni8.1 / {READ}"),
        ("12.4 m0 cr18 ni8.1 ?", "m1", "cr18 ni8.1 m1"),
        ("8 304 att painted ?", "clean", "304 clean"),
        ("8 304 att ?", "+b", "304 +b"),
        ("8 stainless bar m0 ? ; odd", "m2 316", "bar m2 316"),
        ("8 grey thingummy x2 @HLD", "304", "grey 304"),
    ],
)
def test_findings_hold_instead_of_what_the_line_said_of_the_same(
    yard_folder: Path, clock: Callable[[], datetime], entered: str, found: str, line: str
) -> None:
    """A second reading replaces the first without a mark, a surface the old ones, a name the name."""
    desk = Desk.open(yard_folder, now=clock)
    row = desk.tally(desk.consider(entered)).row

    considered = desk.review.reconsider(row.row_id, found)
    desk.close()

    assert considered.parsed.line.split(maxsplit=1)[1] == line
    assert len(considered.parsed.facts.shots) == line.count("cr")
    assert not considered.parsed.facts.bench.has_attachments
