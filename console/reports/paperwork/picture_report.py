"""The office's picture of all yards as text and JSON."""

from collections.abc import Sequence
from dataclasses import fields
from datetime import datetime, timedelta
from decimal import Decimal
from typing import Any

from console.ground.cleaning import clean
from console.ground.dates import local_day_and_time
from console.ground.mass import format_mass, masses_alike
from console.ledger.rows.row_text import time_text
from console.office.needs import ago, needs_of, said_about
from console.office.picture import Picture
from console.reports.columns import cells, folded, left, right

_GAP = 2
_NOTHING = "none"


def picture_text(picture: Picture, width: int = 80, unit: str = "kg") -> str:
    """Return the picture as plain text under its date; see `picture_sections`."""
    return f"all yards, {local_day_and_time(picture.at)}\n\n{picture_sections(picture, width, unit)}"


def picture_sections(picture: Picture, width: int = 80, unit: str = "kg") -> str:
    """Return the picture as plain text in sections, no line wider than the width.

    Args:
        picture: All yards at one moment.
        width: Columns, at least 60.
        unit: Unit of the weights.
    """
    needs = needs_of(picture) or [_NOTHING]
    sections = [
        ["needs somebody", *(line for one in needs for line in folded(one, width, indent="  "))],
        _section("terminals", _terminals(picture), width),
        _section("stock", _stock(picture, unit), width),
        _section("runs", _runs(picture), width),
        _section("on hold, oldest first", _holds(picture, unit), width),
        _section("taken out of the bays", _draw_downs(picture, unit), width),
        _section("consignments", _consignments(picture, unit), width),
        _section("downgraded by buyers", _downgrades(picture, unit), width),
        _section("analysers against check samples", _bias(picture), width),
        _section("older copies of the office put back", _put_back(picture), width),
        _section("what the office said", _words(picture), width),
    ]
    return "\n\n".join("\n".join(lines) for lines in sections)


Row = Sequence[str]


def _terminals(picture: Picture) -> list[Row]:
    return [
        ("yard", "terminal", "chain", "#rows", "#waiting", "heard of", "state"),
        *(
            (
                one.yard,
                one.terminal,
                str(one.chain),
                str(one.rows),
                str(one.rows_waiting),
                "never" if one.lag is None else f"{ago(one.lag)} ago",
                (one.state or "") + ("" if one.counts else ", does not count"),
            )
            for one in picture.terminals
        ),
    ]


def _stock(picture: Picture, unit: str) -> list[Row]:
    ages = ("lying_g", "week_g", "month_g", "older_g")
    columns = [masses_alike([getattr(one, age) for one in picture.stock], unit) for age in ages]
    return [
        ("yard", "bay", "#lying", "#7 days", "#30 days", "#older"),
        *((one.yard, one.bay, *sums) for one, *sums in zip(picture.stock, *columns, strict=True)),
    ]


def _runs(picture: Picture) -> list[Row]:
    return [
        ("yard", "run", "person", "opened", "closed"),
        *(
            (one.yard, one.run_id, one.person, _when(one.opened_at), _when(one.closed_at) or "open")
            for one in picture.runs
        ),
    ]


def _holds(picture: Picture, unit: str) -> list[Row]:
    return [
        ("yard", "tag", "#weight", "#days", "person"),
        *(
            (one.yard, one.tag, format_mass(one.mass_g, unit), str(one.age_days), one.person)
            for one in picture.holds
        ),
    ]


def _draw_downs(picture: Picture, unit: str) -> list[Row]:
    return [
        ("yard", "when", "bay", "bale", "#weight", "reason"),
        *(
            (one.yard, _when(one.at), one.bay, one.bale, format_mass(one.mass_g, unit), one.reason)
            for one in picture.draw_downs
        ),
    ]


def _consignments(picture: Picture, unit: str) -> list[Row]:
    return [
        ("yard", "consignment", "buyer", "state", "since", "#parts", "#net", "#paid"),
        *(
            (
                one.yard,
                one.consignment,
                one.buyer,
                "settled" if one.found_at else one.state,
                _when(one.found_at or one.sent_at or one.sealed_at or one.begun_at),
                str(one.parts),
                format_mass(one.net_g, unit),
                "" if one.paid is None else f"{one.paid:.2f} {one.currency}".strip(),
            )
            for one in picture.consignments
        ),
    ]


def _downgrades(picture: Picture, unit: str) -> list[Row]:
    return [
        ("yard", "when", "#weight", "#lost", "reason"),
        *(
            (
                one.yard,
                _when(one.at),
                format_mass(one.mass_g, unit),
                f"{one.loss:.2f} {one.currency}".strip(),
                one.reason,
            )
            for one in picture.downgrades
        ),
    ]


def _bias(picture: Picture) -> list[Row]:
    return [
        ("yard", "terminal", "technique", "sample", "element", "#shots", "#bias wt %", "#in sigma"),
        *(
            (
                one.yard,
                one.terminal,
                one.technique,
                one.sample,
                one.element,
                str(one.shots),
                f"{one.bias_wt_pct:+.3f}",
                f"{one.mean_z:+.1f}",
            )
            for one in picture.bias
        ),
    ]


def _words(picture: Picture) -> list[Row]:
    return [
        ("yard", "terminal", "#said up to", "#taken up to", "not taken"),
        *(
            (
                one.yard,
                one.terminal,
                str(one.said_up_to),
                str(one.taken_up_to),
                said_about(one.untaken) if one.untaken else "",
            )
            for one in picture.words
        ),
    ]


def _put_back(picture: Picture) -> list[Row]:
    return [
        ("yard", "terminal", "#sent up to", "#held up to", "noticed", "sent again"),
        *(
            (
                one.yard,
                one.terminal,
                str(one.sent_up_to),
                str(one.held_up_to),
                _when(one.noticed_at),
                _when(one.filled_at) or "not yet",
            )
            for one in picture.put_back
        ),
    ]


def _when(at: datetime | None) -> str:
    return local_day_and_time(at) if at else ""


def _section(title: str, rows: list[Row], width: int) -> list[str]:
    """Return a table under its title; a head that begins with # is a column of figures."""
    if len(rows) == 1:
        return [title, _NOTHING]
    is_figure = [head.startswith("#") for head in rows[0]]
    table = [
        [clean(cell).removeprefix("#") if at == 0 else clean(cell) for cell in row]
        for at, row in enumerate(rows)
    ]
    widths = [max(cells(row[column]) for row in table) for column in range(len(rows[0]))]
    # The widest text column gives way; a figure is never cut.
    over = sum(widths) + _GAP * (len(widths) - 1) - width
    while over > 0:
        widest = max((one for one in range(len(widths)) if not is_figure[one]), key=lambda one: widths[one])
        if widths[widest] <= 3:
            break
        widths[widest] -= 1
        over -= 1
    lines = (
        (" " * _GAP)
        .join(
            (right if figure else left)(cell, size)
            for cell, size, figure in zip(row, widths, is_figure, strict=True)
        )
        .rstrip()
        for row in table
    )
    return [title, *lines]


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
