"""Which rows the bay tally has, and which of them there is room for."""

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from console.drawing.bay_rows import BayRow, word_of
from console.ground.mass import short_mass

if TYPE_CHECKING:
    from console.ledger.rows.rows import Tally
    from console.yard.chemistry.headroom import TightestLimit
    from console.yard.yard import Yard

AT_LIMIT = "{bay} {symbol} {word}"


def rows_of(
    yard: "Yard", tally: "Tally", earlier_g: Mapping[str, float], tightest: Mapping[str, "TightestLimit"]
) -> list[BayRow]:
    """Return every bay of the yard in its order, with what it took in.

    Args:
        yard: The bays.
        tally: Of the open run.
        earlier_g: Code of a bay -> what lies there beside the metal of the open run [g].
        tightest: Code of a bay -> the limit of its buyer that gives out first.
    """
    totals = {total.bay.casefold(): total for total in tally.bays}
    rows = []
    for bay in yard.bays:
        total = totals.get(bay.code.casefold())
        rows.append(
            BayRow(
                bay=bay,
                pieces=total.pieces if total else 0,
                mass_g=total.mass_g if total else 0,
                earlier_g=earlier_g.get(bay.code, 0.0),
                tightest=tightest.get(bay.code),
            )
        )
    return rows


def bays_gone(yard: "Yard", tally: "Tally") -> list[str]:
    """Return the bays that metal lies in and that yard.toml no longer has, with their weights."""
    known = {bay.code.casefold() for bay in yard.bays}
    return [
        f"{total.bay} {short_mass(total.mass_g, yard.weight_unit)}"
        for total in tally.bays
        if total.bay.casefold() not in known and total.pieces
    ]


def furthest_over(tightest: Mapping[str, "TightestLimit"]) -> str:
    """Return the bay that is furthest beyond a limit of its buyer; empty where none is."""
    over = {code: one for code, one in tightest.items() if one.is_broken}
    if not over:
        return ""
    code, worst = max(over.items(), key=lambda item: item[1].used)
    return AT_LIMIT.format(bay=code, symbol=worst.symbol, word=word_of(worst))


def fit(rows: Sequence[BayRow], room: int, *, wanted: tuple[str, ...]) -> tuple[list[BayRow], list[BayRow]]:
    """Return the rows that there is room for, and those that are left out, both in their order.

    Args:
        rows: Every bay.
        room: Rows of the pane.
        wanted: Codes that are shown whatever lies there; then come hold, and the heaviest.
    """
    if len(rows) <= room:
        return list(rows), []
    needed = [row for row in rows if row.pieces or row.bay.is_hold or row.bay.code in wanted]
    needed.sort(key=lambda row: (row.bay.code not in wanted, not row.bay.is_hold, -row.mass_g))
    codes = [row.bay.code for row in needed]
    codes += [row.bay.code for row in rows if row.bay.code not in codes]
    chosen = frozenset(codes[: room - 1])
    shown = [row for row in rows if row.bay.code in chosen]
    return shown, [row for row in rows if row.bay.code not in chosen]
