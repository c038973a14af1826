"""The radiation record of a consignment: instrument, background, highest, who, when."""

from dataclasses import asdict

from console.reports.consigning.of_load import facts_of, figures_of
from console.reports.consigning.paper import Block, Paper, Table, Words
from console.yard.loads.load_sheet import LoadSheet

KIND = "radiation-record"
NOBODY = "OPEN: nobody measured, or nobody wrote it down."
CAUTION = (
    "What counts as an alarm the rules of the site and of the country say, not this. At an alarm: keep "
    "people away, leave the load where it stands, call the radiation protection officer or the authority; "
    "nobody unloads or searches by hand who is not licensed for it."
)
KEPT = "Keep this record for five years (common practice; local rules may ask for more)."


def radiation_record(sheet: LoadSheet, fingerprint: str, sent: str) -> Paper:
    """Return the radiation record; arguments as of `packing_list`."""
    table = Table(
        heading=f"Measurements ({len(sheet.radiation)})",
        columns=("when", "who", "instrument", "background", "highest", "unit"),
        figures_from=3,
        rows=tuple(
            (one.at, one.person, one.instrument, one.background, one.highest, one.unit)
            for one in sheet.radiation
        ),
    )
    measured: Block = table if sheet.radiation else Words(heading="Measurements", lines=(NOBODY,))
    said = [one for one in sheet.ticks if one.criterion == "radiation"]
    stands = [f"{'met' if one.is_met else 'NOT MET'}, says {one.person}: {one.words}" for one in said]
    return Paper(
        kind=KIND,
        title="Radiation record",
        tag=sheet.tag,
        yard_name=sheet.yard_name,
        head=sheet.head,
        facts=(*facts_of(sheet, sent), ("no response needed", stands[0] if stands else "OPEN")),
        blocks=(measured, Words(heading="How to read it", lines=(CAUTION, KEPT))),
        fingerprint=fingerprint,
        signs=("measured by",),
        data=figures_of(sheet, sent) | {"radiation": [asdict(one) for one in sheet.radiation]},
    )
