"""A consignment at a glance, and the list of all of them, for screen and command."""

from collections.abc import Iterator, Sequence

from console.ground.cents import cents_text
from console.ground.cleaning import clean
from console.ground.figures import many, percent
from console.ground.mass import format_mass
from console.ledger.consignments.consignment import Consignment
from console.reports.columns import folded, left, right
from console.yard.loads.judging import RULE_WORDS
from console.yard.loads.load_sheet import LoadSheet

NONE = "No consignment yet."
EMPTY = "Empty."
NOT_JUDGED = "Not judged: nothing is known of what {parts} is made of."


def list_text(consignments: Sequence[Consignment], unit: str) -> Iterator[str]:
    """Yield every consignment as a line, newest first."""
    if not consignments:
        yield NONE
    for one in reversed(consignments):
        mass = format_mass(one.net_g, unit)
        parts = many(len(one.parts), "part", "parts")
        buyer = f"{clean(one.buyer)} {clean(one.order)}"
        name = left(one.tag, 10) + left(one.state.value, 8) + left(buyer, 18)
        yield name + right(parts, 10) + right(mass, 16)


def load_text(sheet: LoadSheet, state: str, width: int = 80) -> Iterator[str]:
    """Yield one consignment: parts, weight, limits with what would help, money.

    Args:
        sheet: The consignment.
        state: "open", "sealed", "sent".
        width: Columns, at least 70.
    """
    yield f"{sheet.tag} {state}: {clean(sheet.order)} {clean(sheet.order_name)}, {clean(sheet.buyer_name)}"
    yield from folded(clean(f"takes {', '.join(sheet.accepts)}"), width, indent="  ")
    yield ""
    if not sheet.parts:
        yield EMPTY
    for part in sheet.parts:
        name = f"{part.name} loose" if part.is_loose else part.name
        mass = format_mass(part.mass_g, sheet.unit)
        yield f"  {left(name, 20)}{right(mass, 14)}  {left(part.bay_name, 22)}{part.base or 'not known'}"
        if part.despite:
            yield from folded(clean(f"despite: {part.despite}"), width, first="    ", indent="    ")
    if sheet.parts:
        weighed = "" if sheet.gross_g is None else ", weighed as a whole"
        yield f"  {left('net', 20)}{right(format_mass(sheet.net_g, sheet.unit), 14)}{weighed}"
    yield from _limits(sheet, width)
    if sheet.cents is not None and sheet.parts:
        yield ""
        money = cents_text(sheet.cents, sheet.currency)
        yield f"By the order {money}, {sheet.price_per_kg} {sheet.currency}/kg."


def _limits(sheet: LoadSheet, width: int) -> Iterator[str]:
    if not sheet.parts:
        return
    if sheet.limits_asked:
        yield ""
        yield f"  {left('LIMITS [wt %]', 22)}{left('', 10)}{right('estimate ± U', 16)}{right('within', 9)}"
    if sheet.limits_asked and sheet.unknown:
        yield from folded(NOT_JUDGED.format(parts=", ".join(sheet.unknown)), width, first="  ", indent="  ")
    for one in sheet.judged:
        content = f"{one.content.wt_pct:.2f} ± {one.expanded:.2f}"
        said = "" if one.is_met else f"  NOT MET by {max(0.01, one.beyond):.2f}"
        name = left(one.words, 22) + left(one.bound, 10)
        yield f"  {name}{right(content, 16)}{right(percent(one.chance), 9)}{said}"
        for clause in one.helps:
            yield from folded(clause, width, first="    ", indent="      ")
    most, found = sheet.foreign_max_wt_pct, sheet.foreign_wt_pct
    if most is not None:
        weighed = "not weighed" if found is None else f"{found:.2f}"
        said = "  NOT MET" if found is not None and found > most else ""
        yield f"  {left('foreign material', 22)}{left(f'<={most:g}', 10)}{right(weighed, 16)}{said}"
    if sheet.limits_asked:
        yield from folded(f"U: k = 2. Rule: {RULE_WORDS[sheet.decision]}.", width, first="  ", indent="  ")
