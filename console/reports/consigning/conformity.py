"""The statement of conformity of a consignment that ceases to be waste; refused for other metals."""

from console.ground.errors import BaywrightError
from console.ground.mass import format_mass
from console.reports.consigning.of_load import facts_of, figures_of
from console.reports.consigning.paper import Paper, Table, Words
from console.yard.loads.criteria import FOREIGN, REGULATIONS, Regulation
from console.yard.loads.load_sheet import LoadSheet, SheetPart

KIND = "conformity"
OPEN = "OPEN"
MET, NOT_MET = "met", "NOT MET"
NOT_STATED = (
    "This paper is no statement yet: what stands open above was neither reckoned nor said by a named person."
)
FAILS = "This load does not meet the regulation: what stands as NOT MET above."
STATED = (
    "I certify that what stands above is complete and correct to the best of my knowledge. The signature is "
    "that of the producer; the program certifies nothing."
)
MEMORY = (
    "Criteria, articles and figures are from memory of the regulation; hold them against its text, and ask "
    "the authority where in doubt."
)


class NoStatement(BaywrightError):  # noqa: N818 - not a fault of the program
    """The load is of a metal for which there is no such statement, or nobody knows of which."""


def regulation_of(sheet: LoadSheet) -> Regulation:
    """Return the regulation that a load falls under, by the element that each part holds most of.

    Raises:
        NoStatement: Empty, a part is not known, they are of different metals, or of another metal.
    """
    tag = sheet.tag
    if not sheet.parts:
        raise NoStatement(f"{tag} is empty: there is nothing to state.")
    if sheet.unknown:
        raise NoStatement(f"{tag}: nothing is known of what {', '.join(sheet.unknown)} is made of.")
    by_base: dict[str, SheetPart] = {part.base: part for part in reversed(sheet.parts)}
    if len(by_base) > 1:
        named = ", ".join(f"{part.name} is mostly {base}" for base, part in by_base.items())
        raise NoStatement(f"{tag} holds different metals ({named}): each needs a statement of its own.")
    (base,) = by_base
    if base not in REGULATIONS:
        raise NoStatement(
            f"{tag} is mostly {base}: a statement of conformity there is for iron and steel, aluminium "
            "(Regulation (EU) No 333/2011) and copper (715/2013), for no other metal."
        )
    return REGULATIONS[base]


def conformity(sheet: LoadSheet, fingerprint: str, sent: str) -> Paper:
    """Return the statement; arguments as of `packing_list`.

    Raises:
        NoStatement: There is none for such a load.
    """
    asked = regulation_of(sheet)
    rows = tuple((f"{name}: {words}", *_answer(sheet, asked, name)) for name, words in asked.criteria.items())
    states = {row[1] for row in rows}
    last = FAILS if NOT_MET in states else NOT_STATED if OPEN in states else STATED
    codes = dict.fromkeys(
        f"{part.bay}: {kind} {code}" for part in sheet.parts for kind, code in part.codes.items()
    )
    limits = [f"{one.words} {one.bound}: {'met' if one.is_met else 'NOT MET'}" for one in sheet.judged]
    facts = (
        *facts_of(sheet, sent),
        ("metal", f"{asked.metal}, {asked.title}, {asked.clauses}"),
        ("category", f"order {sheet.order}: {', '.join(sheet.accepts)}"),
        ("specification", "; ".join(limits) or "no limit of the order is judged"),
        ("codes", "; ".join(codes) or "none in yard.toml"),
        ("quantity", format_mass(sheet.net_g, "kg")),
    )
    table = Table(heading="Criteria", columns=("criterion", "stands", "by whom"), rows=rows, figures_from=3)
    return Paper(
        kind=KIND,
        title="Statement of conformity" if last is STATED else "Statement of conformity, NOT COMPLETE,",
        tag=sheet.tag,
        yard_name=sheet.yard_name,
        head=sheet.head,
        facts=facts,
        blocks=(table, Words(heading="Declaration", lines=(last, MEMORY))),
        fingerprint=fingerprint,
        signs=("producer",),
        data=figures_of(sheet, sent)
        | {
            "regulation": asked.title,
            "criteria": [{"criterion": row[0], "stands": row[1], "by": row[2]} for row in rows],
            "complete": last is STATED,
        },
    )


def _answer(sheet: LoadSheet, asked: Regulation, name: str) -> tuple[str, str]:
    """Return how a criterion stands, and who says so."""
    tick = next((one for one in sheet.ticks if one.criterion == name), None)
    if name == FOREIGN and sheet.foreign_wt_pct is not None:
        found = sheet.foreign_wt_pct
        is_met = found <= asked.foreign_most_wt_pct
        if tick is None or not (is_met or asked.foreign_may_be_said):
            return (MET if is_met else NOT_MET, f"weighed: {found:.2f} %")
    if tick is None:
        return OPEN, ""
    words = f"{tick.person}: {tick.words}" if tick.words else tick.person
    return (MET if tick.is_met else NOT_MET), words
