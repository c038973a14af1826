"""The papers of a consignment: what stands on them, and in which forms."""

import json
from dataclasses import asdict, replace

import pytest

from console.reports.consigning.conformity import NoStatement, conformity
from console.reports.consigning.melt_sheet import melt_sheet
from console.reports.consigning.packing_list import packing_list
from console.reports.consigning.paper import LINES, WIDTH, paper_html, paper_json, paper_text
from console.yard.loads.buyer import DecisionRule
from console.yard.loads.criteria import REGULATIONS
from console.yard.loads.judging import Judged
from console.yard.loads.load_sheet import LoadSheet, SheetPart, SheetTick, sheet_from
from grade_library.lots.blending import Blend

SEAL = "0123456789abcdef"


def part(number: int, base: str = "Al") -> SheetPart:
    return SheetPart(
        name=f"T1-AXC-{number:04d}",
        bay="AXC",
        bay_name="extrusions clean",
        mass_g=900_000,
        pieces=40,
        is_loose=False,
        base=base,
        codes={"customs": "7602 00 90"},
    )


def sheet(count: int = 3, base: str = "Al") -> LoadSheet:
    """A load of so many bales that keeps its limit by shared risk."""
    copper = Blend(wt_pct=0.19, sigma=0.021, common=0.02)
    return LoadSheet(
        tag="T1-C1",
        yard_name="Lowfield <Yard>",
        head=("1 Quay, Tarn",),
        unit="kg",
        begun="2026-03-02 12:00, Ada",
        buyer="RIDGE",
        buyer_name="Ridgeway Remelt",
        address="4 Kiln Road",
        order="RX1",
        order_name="billets",
        accepts=("6060", "6063"),
        decision=DecisionRule.GUARD_BAND,
        currency="EUR",
        price_per_kg="1.86",
        parts=tuple(part(number, base) for number in range(1, count + 1)),
        gross_g=12_000_000,
        tare_g=9_310_000,
        foreign_g=1_000,
        foreign_of_g=250_000,
        foreign_max_wt_pct=1.0,
        composition={
            "Al": Blend(wt_pct=98.6, sigma=0.2, common=0.1),
            "Mg": Blend(wt_pct=0.5, sigma=0.05, common=0.01),
            "Cu": copper,
        },
        judged=(Judged(words="Cu", bound="<=0.25", content=copper, chance=0.99, beyond=0.0),),
        limits_asked=1,
    )


ALL_TICKED = tuple(
    SheetTick(criterion=name, is_met=True, person="Ada", words="seen") for name in REGULATIONS["Al"].criteria
)


def test_a_sheet_goes_to_its_row_and_back() -> None:
    """Through JSON, every figure as it was."""
    kept = replace(sheet(), ticks=ALL_TICKED, despite="agreed")

    assert sheet_from(json.loads(json.dumps(asdict(kept)))) == kept


def test_a_packing_list_in_three_forms() -> None:
    """Parts with their codes, weights against the truck scale, money; text is text in HTML too."""
    paper = packing_list(sheet(), SEAL, "2026-03-03 08:00, truck 7")
    text, html, told = paper_text(paper), paper_html(paper), json.loads(paper_json(paper))

    assert "T1-AXC-0002  AXC extrusions clean  7602 00 90" in text
    assert "2690.00 kg, -10.00 kg against its parts" in text
    assert "5003.40 EUR at 1.86 EUR/kg" in text and told["cents"] == 500340
    assert "left          2026-03-03 08:00, truck 7" in text
    assert f"ledger row {SEAL}" in text and f"ledger row {SEAL}" in html
    assert "Lowfield &lt;Yard&gt;" in html and "<Yard>" not in html
    assert "@page" in html and "counter(pages)" in html


def test_text_comes_in_numbered_pages() -> None:
    """Two hundred bales: no page and no line is too long, each page says which it is and of how many."""
    pages = paper_text(packing_list(sheet(200), SEAL, "")).split("\f")

    assert len(pages) == 5
    for number, page in enumerate(pages, start=1):
        rows = page.strip("\n").splitlines()
        assert rows[0].endswith(f"page {number} of 5") and rows[0].startswith("Packing list T1-C1")
        assert len(rows) <= LINES and max(map(len, rows)) <= WIDTH


def test_a_table_that_goes_on_overleaf_has_its_head_again() -> None:
    """Each page that begins in a table begins with the table's head; no row is lost or told twice."""
    first, *later = paper_text(packing_list(sheet(200), SEAL, "")).split("\f")
    rows = first.splitlines()
    head = rows[next(at for at, row in enumerate(rows) if row.startswith("-----")) - 1]

    assert len(later) == 4
    for page in later[:3]:
        assert page.strip("\n").splitlines()[2:4] == [head, "-" * WIDTH]
    whole = "\n".join([first, *later])
    assert all(whole.count(part.name) == 1 for part in sheet(200).parts)


def test_every_printed_sheet_says_what_it_belongs_to() -> None:
    """Paper, tag, yard and ledger row stand in the margins of each sheet; no name gets out of its string."""
    hostile = replace(sheet(), yard_name='Low"; } body { display: none; } \\22 </style><b>')
    printed = paper_html(packing_list(hostile, SEAL, ""))
    style = printed[printed.index("<style>") : printed.index("</style>")]

    assert '@top-left { content: "Packing list T1\\2d C1";' in style
    assert '@bottom-left { content: "ledger row 0123456789abcdef";' in style
    assert style.count("{") == style.count("}") and style.count("{") == style_of(sheet()).count("{")
    assert "display: none" not in style and printed.count("</style>") == 1


def style_of(of: LoadSheet) -> str:
    printed = paper_html(packing_list(of, SEAL, ""))
    return printed[printed.index("<style>") : printed.index("</style>")]


def test_short_words_are_not_broken_in_a_column() -> None:
    """OPEN and a tag stay on one line on the narrowest sheet; long words may go on below."""
    printed = paper_html(packing_list(sheet(1), SEAL, ""))

    assert '<td class="short">T1-AXC-0001</td>' in printed
    assert "<td>AXC extrusions clean</td>" in printed


def test_a_draft_says_so() -> None:
    """Without the row of a seal nothing on it counts, in every form."""
    paper = packing_list(sheet(), "", "")

    assert "DRAFT: not sealed" in paper_text(paper)
    assert "DRAFT: not sealed" in paper_html(paper)
    assert json.loads(paper_json(paper))["sealed"] is False


def test_a_melt_sheet_says_uncertainty_residuals_and_rule() -> None:
    """Composition with U, k and coverage; residuals apart; the decision rule in words."""
    text = paper_text(melt_sheet(sheet(), SEAL, ""))
    words = " ".join(text.split())

    assert "Cu <=0.25 met 0.190 0.042 99 %" in words
    assert "Al 98.60 0.40 0.100" in words
    assert words.index("RESIDUALS, EACH BELOW 1 [wt %]") < words.index("Mg 0.50 0.10 0.010")
    assert "k = 2; it covers about 95 %" in words
    assert "guarded acceptance, JCGM 106:2012" in words
    assert "0.40 % of a sample" in words


def test_a_melt_sheet_of_something_unknown_says_so() -> None:
    """No composition and no limit judged, where a part is not known."""
    unknown = replace(sheet(), parts=(part(1), part(2, "")), composition={}, judged=())

    assert "nothing is known of what T1-AXC-0002 is made of" in " ".join(
        paper_text(melt_sheet(unknown, SEAL, "")).split()
    )


def test_a_statement_leaves_open_what_nobody_said() -> None:
    """The weighing answers one criterion; the rest stands open, and the paper is no statement yet."""
    paper = conformity(replace(sheet(), ticks=ALL_TICKED[:1]), SEAL, "")
    told = json.loads(paper_json(paper))

    stands = {row["criterion"].split(":")[0]: (row["stands"], row["by"]) for row in told["criteria"]}
    assert stands["foreign"] == ("met", "weighed: 0.40 %")
    assert stands["graded"] == ("met", "Ada: seen")
    assert stands["radiation"] == ("OPEN", "")
    assert told["complete"] is False
    assert "NOT COMPLETE" in paper.title and "This paper is no statement yet" in paper_text(paper)


def test_a_statement_is_whole_when_a_person_stands_for_each_criterion() -> None:
    """Every criterion ticked: the declaration, for a signature."""
    paper = conformity(replace(sheet(), ticks=ALL_TICKED), SEAL, "")

    assert paper.title == "Statement of conformity" and paper.data["complete"] is True
    assert "Regulation (EU) No 333/2011" in paper_text(paper) and "I certify" in paper_text(paper)


@pytest.mark.parametrize(("base", "most"), [("Fe", 2.0), ("Al", 5.0), ("Cu", 2.0)])
def test_foreign_material_over_the_regulation_is_not_met(base: str, most: float) -> None:
    """Just at the most it is met, above it not; for aluminium a person may show the metal yield instead."""
    asked = REGULATIONS[base]
    ticks = tuple(SheetTick(criterion=one, is_met=True, person="Ada") for one in asked.criteria)

    def complete(found_g: int) -> bool:
        load = replace(sheet(base=base), foreign_g=found_g, foreign_of_g=100_000)
        without = tuple(tick for tick in ticks if tick.criterion != "foreign")
        return bool(conformity(replace(load, ticks=without), SEAL, "").data["complete"])

    assert asked.foreign_most_wt_pct == most
    assert complete(int(1000 * most)) and not complete(int(1000 * most) + 1)
    over = replace(sheet(base=base), foreign_g=9_000, foreign_of_g=100_000, ticks=ticks)
    assert conformity(over, SEAL, "").data["complete"] is (base == "Al")


@pytest.mark.parametrize(
    ("parts", "said"),
    [
        ((part(1, "Ni"),), "mostly Ni: a statement of conformity there is for iron and steel"),
        ((part(1), part(2, "Fe")), "T1-AXC-0001 is mostly Al"),
        ((part(1), part(2, "")), "nothing is known of what T1-AXC-0002"),
        ((), "is empty"),
    ],
)
def test_other_metals_get_no_statement(parts: tuple[SheetPart, ...], said: str) -> None:
    """Nickel, mixtures, the unknown and nothing are refused in a sentence."""
    with pytest.raises(NoStatement, match=said):
        conformity(replace(sheet(), parts=parts), SEAL, "")
