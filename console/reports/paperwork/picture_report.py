"""The office's picture of all yards as text and JSON."""

from dataclasses import fields
from datetime import datetime, timedelta
from decimal import Decimal
from typing import Any

from rich.cells import cell_len

from console.ground.cleaning import clean
from console.ground.dates import local_day_and_time
from console.ground.mass import format_mass, masses_alike
from console.ledger.rows.row_text import time_text
from console.office.needs import ago, needs_of, said_about
from console.office.picture import BiasLine, ConsignmentLine, Picture, PutBackLine, TerminalLine, WordLine
from console.reports.columns import GAP, folded, side_by_side

_NOTHING, _UNIT = "none", "kg"


def picture_text(picture: Picture, width: int = 80) -> str:
    """Return the picture as plain text under its date; see `picture_sections`."""
    return f"all yards, {local_day_and_time(picture.at)}\n\n{picture_sections(picture, width)}"


def picture_sections(picture: Picture, width: int) -> str:
    """Return the picture as plain text in sections, no line wider than the width, at least 60 columns."""
    needs = needs_of(picture) or [_NOTHING]
    sections = [
        ["needs somebody", *(line for one in needs for line in folded(one, width, indent="  "))],
        *(_section(title, rows, width) for title, rows in (_there(picture) | _happened(picture)).items()),
    ]
    return "\n\n".join("\n".join(lines) for lines in sections)


Row = dict[str, str]
"""Head of a column -> what stands in it; a head that begins with # is of figures."""


def _there(picture: Picture) -> dict[str, list[Row]]:
    """Return title and rows of what is there now."""
    ages = {"#lying": "lying_g", "#7 days": "week_g", "#30 days": "month_g", "#older": "older_g"}
    columns = [masses_alike([getattr(one, age) for one in picture.stock], _UNIT) for age in ages.values()]
    return {
        "terminals": [_terminal(one) for one in picture.terminals],
        "stock": [
            {"yard": one.yard, "bay": one.bay} | dict(zip(ages, sums, strict=True))
            for one, *sums in zip(picture.stock, *columns, strict=True)
        ],
        "runs": [
            {
                "yard": one.yard,
                "run": one.run_id,
                "person": one.person,
                "opened": _when(one.opened_at),
                "closed": _when(one.closed_at) or "open",
            }
            for one in picture.runs
        ],
        "on hold, oldest first": [
            {
                "yard": one.yard,
                "tag": one.tag,
                "#weight": format_mass(one.mass_g, _UNIT),
                "#days": str(one.age_days),
                "person": one.person,
            }
            for one in picture.holds
        ],
    }


def _terminal(one: TerminalLine) -> Row:
    return {
        "yard": one.yard,
        "terminal": one.terminal,
        "chain": str(one.chain),
        "#rows": str(one.rows),
        "#waiting": str(one.rows_waiting),
        "heard of": "never" if one.lag is None else f"{ago(one.lag)} ago",
        "state": (one.state or "") + ("" if one.counts else ", does not count"),
    }


def _happened(picture: Picture) -> dict[str, list[Row]]:
    """Return title and rows of what happened, and of what was found and said."""
    return {
        "taken out of the bays": [
            {
                "yard": one.yard,
                "when": _when(one.at),
                "bay": one.bay,
                "bale": one.bale,
                "#weight": format_mass(one.mass_g, _UNIT),
                "reason": one.reason,
            }
            for one in picture.draw_downs
        ],
        "consignments": [_consignment(one) for one in picture.consignments],
        "downgraded by buyers": [
            {
                "yard": one.yard,
                "when": _when(one.at),
                "#weight": format_mass(one.mass_g, _UNIT),
                "#lost": f"{one.loss:.2f} {one.currency}".strip(),
                "reason": one.reason,
            }
            for one in picture.downgrades
        ],
        "analysers against check samples": [_bias(one) for one in picture.bias],
        "older copies of the office put back": [_put_back(one) for one in picture.put_back],
        "what the office said": [_word(one) for one in picture.words],
    }


def _consignment(one: ConsignmentLine) -> Row:
    return {
        "yard": one.yard,
        "consignment": one.consignment,
        "buyer": one.buyer,
        "state": "settled" if one.found_at else one.state,
        "since": _when(one.found_at or one.sent_at or one.sealed_at or one.begun_at),
        "#parts": str(one.parts),
        "#net": format_mass(one.net_g, _UNIT),
        "#paid": "" if one.paid is None else f"{one.paid:.2f} {one.currency}".strip(),
    }


def _bias(one: BiasLine) -> Row:
    return {
        "yard": one.yard,
        "terminal": one.terminal,
        "technique": one.technique,
        "sample": one.sample,
        "element": one.element,
        "#shots": str(one.shots),
        "#bias wt %": f"{one.bias_wt_pct:+.3f}",
        "#in sigma": f"{one.mean_z:+.1f}",
    }


def _put_back(one: PutBackLine) -> Row:
    return {
        "yard": one.yard,
        "terminal": one.terminal,
        "#sent up to": str(one.sent_up_to),
        "#held up to": str(one.held_up_to),
        "noticed": _when(one.noticed_at),
        "sent again": _when(one.filled_at) or "not yet",
    }


def _word(one: WordLine) -> Row:
    return {
        "yard": one.yard,
        "terminal": one.terminal,
        "#said up to": str(one.said_up_to),
        "#taken up to": str(one.taken_up_to),
        "not taken": said_about(one.untaken) if one.untaken else "",
    }


def _when(at: datetime | None) -> str:
    return local_day_and_time(at) if at else ""


def _section(title: str, rows: list[Row], width: int) -> list[str]:
    """Return a table under its title."""
    if not rows:
        return [title, _NOTHING]
    is_figure = [head.startswith("#") for head in rows[0]]
    heads = tuple(head.removeprefix("#") for head in rows[0])
    table = [heads, *(tuple(map(clean, row.values())) for row in rows)]
    widths = [max(map(cell_len, column)) for column in zip(*table, strict=True)]
    # The widest text column gives way; a figure is never cut.
    over = sum(widths) + GAP * (len(widths) - 1) - width
    while over > 0:
        widest = max((one for one in range(len(widths)) if not is_figure[one]), key=lambda one: widths[one])
        if widths[widest] <= 3:
            break
        widths[widest] -= 1
        over -= 1
    return [title, *(side_by_side(row, widths, is_figure).rstrip() for row in table)]


def picture_json(picture: Picture) -> dict[str, Any]:
    """Return the picture for machines: weights in g, times in UTC, stretches of time in s, money as text."""
    return {
        "at": time_text(picture.at),
        "needs": needs_of(picture),
        **{
            one.name: [_plain(line) for line in getattr(picture, one.name)]
            for one in fields(picture)
            if one.name != "at"
        },
    }


def _plain(line: Any) -> dict[str, Any]:
    return {one.name: _value(getattr(line, one.name)) for one in fields(line)}


def _value(value: Any) -> Any:
    match value:
        case datetime():
            return time_text(value)
        case timedelta():
            return round(value.total_seconds(), 3)
        case Decimal():
            return str(value)
    return value
