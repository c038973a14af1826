"""Materials: what is named and not read walks the whole way."""

import pytest

from grade_library.cautions import all_cautions
from grade_library.facts import BenchFacts, Claim, Form, MagnetPull, PieceFacts, Reading, Shot
from grade_library.library import load
from grade_library.loading.material_file import read_materials
from grade_library.matcher.matching import identify
from grade_library.naming.designations import designated
from grade_library.naming.material_card import material_card
from grade_library.naming.names import NameIndex

LIBRARY = load()
NAMES = NameIndex(LIBRARY)


def claim(name: str) -> Claim:
    found = NAMES.exact(name)
    assert found is not None
    return found


def test_the_shipped_materials_are_sound() -> None:
    """Every caution and every grade, family, group and series that a material names is there."""
    cautions = {caution.caution_id for caution in all_cautions()}
    known = [
        {grade.grade_id for grade in LIBRARY.grades},
        {grade.family for grade in LIBRARY.grades},
        {grade.group for grade in LIBRARY.grades},
        {grade.series for grade in LIBRARY.grades},
    ]

    assert len(LIBRARY.dictionary.materials) > 300
    for material in LIBRARY.dictionary.materials:
        assert set(material.cautions) <= cautions, material.material_id
        stated = (material.grades, material.families, material.groups, material.series)
        assert all(set(one) <= there for one, there in zip(stated, known, strict=True)), material.material_id


def test_a_named_material_decides_and_a_reading_beside_it_does_not() -> None:
    """A motor with a copper reading is a motor; the verdict says that the reading decides nothing."""
    shot = Shot(reading=Reading(values={"Cu": 99.0}))

    verdict = identify(PieceFacts(claim=claim("electric motor"), shots=(shot,)), LIBRARY)

    assert verdict.is_named
    assert [one.grade.grade_id for one in verdict.candidates] == ["electric motor"]
    assert verdict.warnings


def test_clean_metal_under_a_code_word_is_matched_once_it_is_read() -> None:
    """Honey alone is Honey; with the reading of a free-cutting brass it is that brass."""
    shot = Shot(reading=Reading(values={"Cu": 61.2, "Zn": 35.5, "Pb": 3.0, "Fe": 0.1}))

    alone = identify(PieceFacts(claim=claim("honey")), LIBRARY)
    read = identify(PieceFacts(claim=claim("honey"), shots=(shot,)), LIBRARY)

    assert alone.best is not None and alone.best.grade.grade_id == "Honey"
    assert read.best is not None and read.best.grade.family == "leaded brass"


def test_a_name_of_several_materials_leaves_them_equally_likely() -> None:
    """The probabilities of one name sum to one."""
    verdict = identify(PieceFacts(claim=claim("rails")), LIBRARY)

    assert len(verdict.candidates) > 1
    assert sum(one.probability for one in verdict.candidates) == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('["x"]\ngroup = "g"\nbase = "Cu"\nshares = { Cu = "90-80" }\nsource = "memory"\n', 'Cu: "90-80"'),
        (
            '["x"]\ngroup = "g"\nbase = "Fe"\nshares = { Cu = "9" }\nsource = "memory"\n',
            "base: needs to be one",
        ),
        (
            '["x"]\ngroup = "g"\nbase = "Cu"\nshares = { Cu = "60", Fe = "60" }\nsource = "m"\n',
            "add up to 120",
        ),
        ('["x"]\ngruop = "g"\nsource = "memory"\n', 'unknown key "gruop" (nearest: "group")'),
        ('["x"]\ngroup = "g"\npiece_kg = "9-2"\nsource = "memory"\n', 'piece_kg: "9-2"'),
        ('["304"]\ngroup = "g"\nsource = "memory"\n', "the id is that of a grade"),
    ],
)
def test_a_broken_material_is_named(text: str, said: str) -> None:
    """The message names the material and what would be right."""
    materials, problems = read_materials(text, {"304"})

    assert said in "\n".join(problems)
    assert materials == ()


def test_the_card_says_what_was_seen_and_what_was_not() -> None:
    """Shares, their basis, names, cautions and source stand on the card."""
    material = LIBRARY.dictionary.material("sealed unit")
    assert material is not None

    card = material_card(material, LIBRARY, 80)

    assert "holds wt %" in card and "seen or not" in card and "Closed container" in card and "source" in card
    assert max(map(len, card.splitlines())) <= 80


@pytest.mark.parametrize(
    ("text", "family"),
    [
        ("1.7777", "low-alloy steel"),
        ("SUS399", "austenitic stainless"),
        ("EN39", "low-alloy steel"),
        ("12Х18Н9", "austenitic stainless"),
        ("CuZn38Pb1", "leaded brass"),
        ("ADC99", "aluminium cast"),
        ("Q235", "structural steel"),
    ],
)
def test_a_designation_is_read_by_its_system(text: str, family: str) -> None:
    """Each system tells the family of a grade that the library lacks."""
    found = designated(text)

    assert found is not None and family in found.families


@pytest.mark.parametrize(
    ("name", "grade_id"), [("SUS304", "304"), ("W.Nr. 1.4301", "304"), ("A5052", "5052"), ("1 4404", "316L")]
)
def test_a_designation_of_another_system_finds_the_grade(name: str, grade_id: str) -> None:
    """A number of another standard names the grade that bears it."""
    assert claim(name).grade_ids == {grade_id}


@pytest.mark.parametrize(("name", "not_this"), [("SS400", "Alloy 400"), ("7050", "705.0"), ("4430", "443.0")])
def test_no_designation_is_given_to_a_neighbour(name: str, not_this: str) -> None:
    """What looks like another grade once letters or a point are dropped is not that grade."""
    found = NAMES.exact(name)

    assert found is None or not_this not in found.grade_ids or found.ask


@pytest.mark.parametrize(
    ("name", "bench", "values", "said", "base"),
    [
        ("aluminium wheel", BenchFacts(magnet=MagnetPull.STRONG), {}, "does not hold a magnet", "Fe"),
        ("busheling", BenchFacts(magnet=MagnetPull.NONE), {}, "this does not: another metal?", None),
        ("heavy melting", BenchFacts(), {"Cu": 99.0}, "is not 99 % Cu", "Cu"),
    ],
)
def test_a_thing_of_one_metal_that_is_contradicted_loses_its_name(
    name: str, bench: BenchFacts, values: dict[str, float], said: str, base: str | None
) -> None:
    """A wheel that holds a magnet is no aluminium: it is said, and what it can be is looked for."""
    shots = (Shot(reading=Reading(values=values)),) if values else ()

    verdict = identify(PieceFacts(claim=claim(name), bench=bench, shots=shots), LIBRARY)

    assert any(said in warning for warning in verdict.warnings)
    assert not verdict.is_named
    assert verdict.best is not None
    assert base in (None, verdict.best.grade.base)


def test_a_thing_of_one_metal_that_agrees_keeps_its_name() -> None:
    """Heavy melting that holds a magnet and reads as iron is heavy melting."""
    shot = Shot(reading=Reading(values={"Fe": 98.6, "Mn": 0.6}))
    facts = PieceFacts(
        claim=claim("heavy melting"), shots=(shot,), bench=BenchFacts(magnet=MagnetPull.STRONG)
    )

    assert identify(facts, LIBRARY).is_named


def test_aluminium_foil_is_rolled_of_few_alloys() -> None:
    """Foil that is only called aluminium is none of the alloys that nobody rolls it of (common practice)."""
    verdict = identify(PieceFacts(claim=claim("aluminium"), bench=BenchFacts(form=Form.FOIL)), LIBRARY)
    shares = verdict.share_by_id
    strong = sum(shares[grade.grade_id] for grade in LIBRARY.grades if grade.series in ("2xxx", "7xxx"))

    assert strong < 0.03
