"""The packing list of a consignment: every part with its weight, the whole against the truck scale."""

from console.ground.cents import cents_text
from console.ground.mass import format_mass, masses_alike
from console.reports.consigning.of_load import facts_of, figures_of
from console.reports.consigning.paper import Paper, Table, Words
from console.yard.loads.load_sheet import LoadSheet

KIND = "packing-list"


def packing_list(sheet: LoadSheet, fingerprint: str, sent: str) -> Paper:
    """Return the packing list.

    Args:
        sheet: The consignment.
        fingerprint: Of the row that sealed it; empty for a draft.
        sent: When it left and by what; empty while it has not.
    """
    despite = dict.fromkeys(f"{part.name}: {part.despite}" for part in sheet.parts if part.despite)
    said = [Words(heading="In it though the order refuses it", lines=tuple(despite))] if despite else []
    return Paper(
        kind=KIND,
        title="Packing list",
        tag=sheet.tag,
        yard_name=sheet.yard_name,
        head=sheet.head,
        facts=(*facts_of(sheet, sent), *_weights(sheet)),
        blocks=(_parts(sheet), *said),
        fingerprint=fingerprint,
        signs=("loaded by", "taken over by"),
        data=figures_of(sheet, sent),
    )


def _parts(sheet: LoadSheet) -> Table:
    """Return every part with its bay, the codes that yard.toml has for it, and its weight."""
    masses = masses_alike([*(part.mass_g for part in sheet.parts), sheet.parts_g], sheet.unit)
    kinds = dict.fromkeys(kind for part in sheet.parts for kind in part.codes)
    rows = tuple(
        (
            part.name if not part.is_loose else f"{part.name} loose",
            f"{part.bay} {part.bay_name}",
            *(part.codes.get(kind, "") for kind in kinds),
            str(part.pieces) if part.pieces else "",
            mass,
        )
        for part, mass in zip(sheet.parts, masses, strict=False)
    )
    empty = ("",) * len(kinds)
    return Table(
        heading=f"Parts ({len(rows)})",
        columns=("tag", "bay", *kinds, "pieces, about", "weight"),
        figures_from=2 + len(kinds),
        rows=rows,
        total=("together", "", *empty, "", masses[-1]),
    )


def _weights(sheet: LoadSheet) -> tuple[tuple[str, str], ...]:
    """Return the weights, and what it is worth by the order."""
    net = format_mass(sheet.net_g, sheet.unit)
    if sheet.gross_g is None:
        weights = [("net weight", f"{net}, the sum of its parts")]
    else:
        gross, tare = format_mass(sheet.gross_g, sheet.unit), format_mass(sheet.tare_g, sheet.unit)
        differs = format_mass(sheet.net_g - sheet.parts_g, sheet.unit)
        weights = [("weighed", f"gross {gross}, tare {tare}")]
        weights += [("net weight", f"{net}, {differs} against its parts")]
    if sheet.cents is not None:
        price = f"{sheet.price_per_kg} {sheet.currency}/kg"
        weights.append(("by the order", f"{cents_text(sheet.cents, sheet.currency)} at {price}"))
    return tuple(weights)
