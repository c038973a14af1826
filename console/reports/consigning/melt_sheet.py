"""The melt sheet of a consignment: composition with expanded uncertainty, residuals, decision rule."""

from console.ground.figures import percent
from console.reports.consigning.of_load import facts_of, figures_of
from console.reports.consigning.paper import Block, Paper, Table, Words
from console.yard.loads.judging import COVERAGE, RULE_WORDS, K
from console.yard.loads.load_sheet import LoadSheet
from grade_library.lots.blending import Blend

KIND = "melt-sheet"
RESIDUAL_BELOW = 1.0
"""An element below it that the order does not ask for is told as a residual [wt %] (own choice)."""
HOW = (
    "Estimated from the pieces tallied into the bays: what each can be, the limits of its grade, and its "
    "readings. This is no analysis of a melt: melt loss and slag are not in it.",
    f"U = k u, k = {K:g}; it covers about {100 * COVERAGE:.0f} % (95.45 % of a normal distribution). "
    "u shared is the part of u that all bales have in common, the bias of the analyser and of the melts of a "
    "grade: it is carried once and not averaged away by pooling bales.",
)
UNKNOWN = "Not known: nothing is known of what {parts} is made of, so no limit is judged."
RULE = "Decision rule, as agreed with the buyer: {rule}."


def melt_sheet(sheet: LoadSheet, fingerprint: str, sent: str) -> Paper:
    """Return the melt sheet; arguments as of `packing_list`."""
    blocks: list[Block] = []
    if sheet.judged:
        blocks.append(_limits(sheet))
    if sheet.composition:
        asked = {symbol for one in sheet.judged for symbol in one.words.replace("+", " ").split()}
        residual = {
            symbol: one
            for symbol, one in sheet.composition.items()
            if one.wt_pct < RESIDUAL_BELOW and symbol not in asked
        }
        main = {symbol: one for symbol, one in sheet.composition.items() if symbol not in residual}
        blocks.append(_contents("Composition", main))
        if residual:
            blocks.append(_contents(f"Residuals, below {RESIDUAL_BELOW:g} wt %", residual))
    else:
        unknown = UNKNOWN.format(parts=", ".join(sheet.unknown) or "an empty load")
        blocks.append(Words(heading="Composition", lines=(unknown,)))
    foreign = sheet.foreign_wt_pct
    most = "" if sheet.foreign_max_wt_pct is None else f"; the order takes {sheet.foreign_max_wt_pct:g} %"
    weighed = "not weighed" if foreign is None else f"{foreign:.2f} % of a sample that was sorted out"
    lines = (f"{weighed}{most}.",)
    blocks.append(Words(heading="Foreign material", lines=lines))
    rule = RULE.format(rule=RULE_WORDS[sheet.decision])
    blocks.append(Words(heading="How to read it", lines=(rule, *HOW)))
    return Paper(
        kind=KIND,
        title="Melt sheet",
        tag=sheet.tag,
        yard_name=sheet.yard_name,
        head=sheet.head,
        facts=facts_of(sheet, sent),
        blocks=tuple(blocks),
        fingerprint=fingerprint,
        data=figures_of(sheet, sent),
    )


def _limits(sheet: LoadSheet) -> Table:
    return Table(
        heading="Limits of the order [wt %]",
        columns=("of", "limit", "by the rule", "estimate", "U (k = 2)", "chance within"),
        figures_from=3,
        rows=tuple(
            (
                one.words,
                one.bound,
                "met" if one.is_met else f"NOT met, {max(0.01, one.beyond):.2f} too far",
                *_figures(one.content),
                percent(one.chance),
            )
            for one in sheet.judged
        ),
    )


def _contents(heading: str, contents: dict[str, Blend]) -> Table:
    ordered = sorted(contents.items(), key=lambda item: -item[1].wt_pct)
    return Table(
        heading=f"{heading} [wt %]",
        columns=("element", "estimate", "U (k = 2)", "u shared"),
        figures_from=1,
        rows=tuple((symbol, *_figures(one), f"{one.common:.3f}") for symbol, one in ordered),
    )


def _figures(content: Blend) -> tuple[str, str]:
    """Return estimate and U, with as many decimals as the uncertainty bears."""
    expanded = K * content.sigma
    decimals = 1 if expanded >= 0.95 else 2 if expanded >= 0.095 else 3
    return f"{content.wt_pct:.{decimals}f}", f"{expanded:.{decimals}f}"
