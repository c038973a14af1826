"""The bale sheet as text and HTML, and the chemistry of the bays as text."""

import json
from pathlib import Path

import pytest
from rich.cells import cell_len

from console.ledger.keeping.store import Ledger
from console.ledger.rows.rows import Row
from console.reports.chemistry_text import chemistry_json, chemistry_text
from console.reports.paperwork.bale_sheet import bale_html, bale_sheet, bale_text
from console.yard.chemistry.bale import bale_body, bale_of
from console.yard.chemistry.composition import BaySums
from console.yard.chemistry.content import Content
from console.yard.yard import Bay, Scale, Yard
from grade_library.grade import Limit
from grade_library.library import GradeLibrary, load

NASTY = '<script>alert(1)</script> {{ 7*7 }} "&'


@pytest.fixture(scope="module")
def library() -> GradeLibrary:
    return load()


@pytest.fixture
def alu_yard(tmp_path: Path) -> Yard:
    scale = Scale(name="bench", division_g=10, largest_g=60_000)
    bay = Bay(
        code="ALO",
        name="alu low copper",
        accepts=(),
        grade_ids=frozenset({"6061"}),
        chemistry={"Cu": Limit(high=0.4)},
    )
    return Yard(
        folder=tmp_path,
        name="Lowfield Yard",
        weight_unit="kg",
        currency="EUR",
        bays=(bay, Bay(code="HLD", name="hold", accepts=(), grade_ids=frozenset(), is_hold=True)),
        people=("Ada",),
        piece_scale=scale,
        ticket_scale=scale,
    )


@pytest.fixture
def sums(library: GradeLibrary, alu_yard: Yard) -> BaySums:
    found = BaySums.empty(library)
    for _ in range(8):
        found = found.plus(Content(mass_g=10_000.0, shares={"6061": 0.95}), alu_yard.bay("ALO"))
    return found


@pytest.fixture
def row(ledger: Ledger, sums: BaySums, alu_yard: Yard) -> Row:
    bale = bale_of(alu_yard.bay("ALO"), sums, 20_000, "T1-ALO-0001")
    return ledger.draw_down("ALO", 20_000, "Ada", reason=NASTY, body=bale_body(bale))


def test_the_sheet_says_everything(row: Row, alu_yard: Yard) -> None:
    """The sheet of a bale names weight, pieces, chemistry, limits and its row, within the paper's width."""
    sheet = bale_sheet(row, alu_yard, row.at_utc)
    assert sheet is not None

    text = bale_text(sheet)

    assert text.startswith("BALE T1-ALO-0001")
    for said in ("20.00 kg", "about 2", "left in the bay", "60.00 kg", "Cu <=0.4", "±", row.row_hash[:16]):
        assert said in text, said
    assert all(cell_len(line) <= 72 for line in text.splitlines())
    assert text.index("Al  ") < text.index("Mg  ")


def test_the_page_shows_typed_text_as_text(row: Row, alu_yard: Yard) -> None:
    """What was typed as a reason is neither markup nor a template, and the page needs nothing from
    elsewhere."""
    sheet = bale_sheet(row, alu_yard, row.at_utc)
    assert sheet is not None

    page = bale_html(sheet)

    assert "<script" not in page
    assert "&lt;script&gt;alert(1)&lt;/script&gt; {{ 7*7 }}" in page
    assert "T1-ALO-0001" in page
    assert not any(word in page for word in ("http:", "https:", "src=", "@import"))


def test_a_draw_down_without_a_bale_has_no_sheet(ledger: Ledger, alu_yard: Yard) -> None:
    """A draw-down of an older program, without a bale, has no sheet."""
    row = ledger.draw_down("ALO", 1000, "Ada", reason="old")

    assert bale_sheet(row, alu_yard, row.at_utc) is None


def test_a_bale_of_unknown_metal_says_so(ledger: Ledger, alu_yard: Yard, library: GradeLibrary) -> None:
    """A bale out of an empty bay says that its metal is not known."""
    bale = bale_of(alu_yard.bay("ALO"), BaySums.empty(library), 900, "T1-ALO-0002")
    row = ledger.draw_down("ALO", 900, "Ada", reason="", body=bale_body(bale))
    sheet = bale_sheet(row, alu_yard, row.at_utc)
    assert sheet is not None

    assert "not known: nothing was tallied into the bay" in bale_text(sheet)
    assert "not known: nothing was tallied into the bay" in bale_html(sheet)


def test_the_chemistry_of_a_bay(sums: BaySums, alu_yard: Yard, library: GradeLibrary) -> None:
    """The chemistry of a bay tells weight, refusals, limits and headroom line by line."""
    text = chemistry_text(alu_yard, {"ALO": sums}, library, asked_grades=("2024",))

    lines = text.splitlines()
    assert lines[0] == "ALO  alu low copper: 80.00 kg, 8 pieces"
    assert lines[1] == "    expected to be refused: 5.0 % of the weight"
    assert lines[2].split()[:2] == ["Cu", "<=0.4"]
    assert "headroom at 90 %: 2024" in text
    assert all(cell_len(line) <= 80 for line in lines)


@pytest.mark.parametrize(("most", "word"), [(0.9, "kept"), (0.30, "AT RISK"), (0.2, "BROKEN")])
def test_a_limit_is_judged_in_words(
    most: float, word: str, sums: BaySums, alu_yard: Yard, library: GradeLibrary
) -> None:
    """A limit is kept, at risk or broken, in words."""
    from dataclasses import replace

    bay = replace(alu_yard.bay("ALO"), chemistry={"Cu": Limit(high=most)})
    yard = replace(alu_yard, bays=(bay, alu_yard.bay("HLD")))

    assert chemistry_text(yard, {"ALO": sums}, library).splitlines()[2].endswith(word)


def test_the_chemistry_for_programs(sums: BaySums, alu_yard: Yard, library: GradeLibrary) -> None:
    """JSON-ready, empty bays left out."""
    bays = {"ALO": sums, "HLD": BaySums.empty(library)}

    (found,) = json.loads(json.dumps(chemistry_json(alu_yard, bays, library)))["bays"]

    assert (found["bay"], found["kg"]) == ("ALO", 80.0)
    assert found["limits"][0]["element"] == "Cu"
    assert 90.0 < found["wt_pct"]["Al"]["content"] < 100.0


def test_empty_bays_say_so(alu_yard: Yard, library: GradeLibrary) -> None:
    """Where no bay holds metal, that is what is said."""
    assert chemistry_text(alu_yard, {"ALO": BaySums.empty(library)}, library) == "The bays are empty.\n"
