"""The quality-monitoring record of a yard: checks, lots, downgrades, loads with their foreign material."""

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from console.ground.dates import local
from console.ground.mass import format_mass
from console.ledger.consignments.consignment import Consignment
from console.ledger.consignments.quality import OUT_FROM, Quality, is_out
from console.reports.consigning.paper import Block, Paper, Table, Words
from console.yard.loads.load_sheet import sheet_from
from console.yard.yard import Yard

KIND = "quality-record"
NOTHING = "none in this stretch of time"


def quality_record(quality: Quality, yard: Yard, stretch: str, fingerprint: str) -> Paper:
    """Return the record.

    Args:
        quality: What was checked, and what came of it.
        yard: Its name, head and unit.
        stretch: The days that are meant, in words.
        fingerprint: Of the newest row of the ledger.
    """
    return Paper(
        kind=KIND,
        title="Quality-monitoring record",
        tag="",
        yard_name=yard.name,
        head=yard.papers_head,
        facts=(("for", stretch),),
        blocks=_blocks(quality, yard),
        fingerprint=fingerprint,
        signs=("responsible",),
        data=_figures(quality, stretch),
    )


def _blocks(quality: Quality, yard: Yard) -> tuple[Block, ...]:
    unit = yard.weight_unit
    return (
        _checks(quality),
        _block(
            "Uniform lots",
            ("lot", "said to be", "state", "checks"),
            3,
            [(lot.lot_id, lot.said, lot.state.value, str(len(lot.checks))) for lot in quality.lots],
        ),
        _block(
            "Downgrades",
            ("day", "bale", "what was found", "weight", f"lost {yard.currency}"),
            3,
            [
                (
                    _day(one.at_utc),
                    one.bale or one.bay,
                    one.reason,
                    format_mass(one.mass_g, unit),
                    f"{one.loss:.2f}",
                )
                for one in quality.downgrades
            ],
        ),
        _block(
            "Loads",
            ("load", "sealed", "order", "sealed although", "net", "foreign %"),
            4,
            [_load(one, unit) for one in quality.loads],
        ),
    )


def _checks(quality: Quality) -> Block:
    names = dict.fromkeys(shot.sample for shot in quality.checks)
    rows = []
    for name in names:
        shots = [shot for shot in quality.checks if shot.sample == name]
        rows.append((name, _day(shots[-1].at), str(len(shots)), str(sum(map(is_out, shots)))))
    columns = ("check sample", "last", "shots", f"beyond {OUT_FROM:g} sigma")
    return _block("Check samples", columns, 2, rows)


def _block(
    heading: str, columns: tuple[str, ...], figures_from: int, rows: Sequence[tuple[str, ...]]
) -> Block:
    if not rows:
        return Words(heading=heading, lines=(NOTHING,))
    return Table(
        heading=f"{heading} ({len(rows)})", columns=columns, figures_from=figures_from, rows=tuple(rows)
    )


def _load(one: Consignment, unit: str) -> tuple[str, ...]:
    assert one.sealed is not None and one.sheet is not None, "only sealed loads are told"
    sheet = sheet_from(one.sheet)
    foreign = "not weighed" if sheet.foreign_wt_pct is None else f"{sheet.foreign_wt_pct:.2f}"
    day, net = _day(one.sealed.at_utc), format_mass(sheet.net_g, unit)
    return (one.tag, day, f"{sheet.buyer} {sheet.order}", sheet.despite, net, foreign)


def _day(at: datetime) -> str:
    return f"{local(at):%Y-%m-%d}"


def _figures(quality: Quality, stretch: str) -> dict[str, Any]:
    return {
        "stretch": stretch,
        "check_shots": len(quality.checks),
        "check_shots_out": sum(map(is_out, quality.checks)),
        "lots": {lot.lot_id: lot.state.value for lot in quality.lots},
        "downgrades": [
            {"bale": one.bale, "mass_g": one.mass_g, "loss": one.loss} for one in quality.downgrades
        ],
        "loads": [
            {"consignment": one.tag, "net_g": one.net_g, "foreign_wt_pct": one.foreign_wt_pct}
            for one in quality.loads
        ],
    }
