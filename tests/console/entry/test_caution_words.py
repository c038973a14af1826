"""Words that call for a caution are understood and say nothing of the metal."""

import pytest

from console.entry.parse import parse_line
from console.entry.token_kind import TokenKind
from grade_library.cautions import all_cautions, cautions_for
from grade_library.library import load
from grade_library.matcher.matching import identify
from grade_library.naming.names import NameIndex


@pytest.fixture(scope="module")
def names() -> NameIndex:
    return NameIndex(load())


def kinds(line: str, names: NameIndex) -> dict[str, str]:
    return {token.text: token.kind.value for token in parse_line(line, names=names, yard=None).tokens}


@pytest.mark.parametrize("word", sorted({word for one in all_cautions() for word in one.words}))
def test_no_caution_word_keeps_a_line_from_being_tallied(word: str, names: NameIndex) -> None:
    """Every word that a caution listens to is understood beside a weight, and the caution still stands."""
    parsed = parse_line(f"12.5kg {word}", names=names, yard=None)

    assert parsed.can_be_tallied, parsed.problems
    assert cautions_for(text=parsed.line)


def test_a_phrase_is_one_token_with_the_title_of_its_caution(names: NameIndex) -> None:
    """A hazard of two words is one token that shows its caution, and names no grade."""
    parsed = parse_line("9 gas bottles m2", names=names, yard=None)

    token = parsed.tokens[1]
    assert (token.kind, token.text) == (TokenKind.CAUTION, "gas bottles")
    assert token.meaning == "caution: closed container"
    assert parsed.facts.claim is None


def test_a_word_that_names_a_metal_stays_a_name(names: NameIndex) -> None:
    """Solder, magnesium and a titanium swarf are metals first; their cautions come from the text."""
    assert kinds("1 solder", names)["solder"] == "claim"
    assert kinds("3 titanium swarf", names) == {"3": "weight", "titanium": "claim", "swarf": "form"}


def test_a_thing_that_is_not_made_of_the_metal_in_its_name_makes_no_claim(names: NameIndex) -> None:
    """A door with lead paint is not lead, and a lead-acid plate no piece of lead."""
    assert kinds("4 steel lead paint", names) == {
        "4": "weight",
        "steel": "claim",
        "lead": "caution",
        "paint": "surface",
    }
    assert kinds("5 lead acid plate", names)["lead acid"] == "caution"


def test_the_name_of_a_thing_wins_over_the_caution_in_it(names: NameIndex) -> None:
    """A lead-acid battery is a thing of its own; its caution stands by the words all the same."""
    parsed = parse_line("5 lead acid battery", names=names, yard=None)

    assert parsed.facts.claim is not None
    assert parsed.facts.claim.material_ids == ("lead-acid battery",)
    assert "PBAT" in {caution.caution_id for caution in cautions_for(text=parsed.line)}


def test_a_reserved_word_in_a_phrase_keeps_its_meaning(names: NameIndex) -> None:
    """Only the words of the hazard are taken; the others mean what they always mean."""
    assert kinds("4 sodium valve", names) == {"4": "weight", "sodium": "caution", "valve": "form"}


def test_the_only_number_of_a_line_is_its_weight(names: NameIndex) -> None:
    """Cobalt of 60 kg is not the isotope, but with a weight beside it it may be."""
    assert parse_line("cobalt 60", names=names, yard=None).mass_g == 60_000
    assert kinds("12 cobalt 60", names) == {"12": "weight", "cobalt 60": "caution"}


BERYLLIUM_FROM_WT_PCT = 0.05
"""Least that a grade may hold for its caution to stand (cautions.toml); filler metals stay below 0.0003."""


def test_a_number_alone_raises_the_caution_of_beryllium(names: NameIndex) -> None:
    """Every grade that may hold beryllium, called by any number or name of its own or near it, stops one."""
    library = load()
    holding = [
        grade
        for grade in library.grades
        if "Be" in grade.limits and (grade.limits["Be"].high or 100.0) >= BERYLLIUM_FROM_WT_PCT
    ]
    said = {
        name
        for grade in holding
        for name in (grade.grade_id, grade.uns, *grade.en, *grade.names, *grade.near_names)
        if name
    }

    assert len(holding) > 20
    assert said >= {"C17200", "C82500", "C17460", "2.1247", "CW101C", "N03360", "QBe2"}
    silent = []
    for name in sorted(said):
        facts = parse_line(f"12.4 {name}", names=names, yard=None).facts
        shown = cautions_for(facts=facts, verdict=identify(facts, library))
        if "BE" not in {caution.caution_id for caution in shown} and "beryll" not in name.casefold():
            silent.append(name)
    assert silent == []


@pytest.mark.parametrize("typed", ["17200", "172", "2.1285", "BrB2", "QBe1.9", "NiBe2", "CuCo2Be"])
def test_further_ways_to_name_beryllium_raise_its_caution(typed: str, names: NameIndex) -> None:
    """Bare numbers and the letters of other countries raise it as well."""
    library = load()
    facts = parse_line(f"12.4 {typed}", names=names, yard=None).facts

    shown = cautions_for(facts=facts, verdict=identify(facts, library))

    assert "BE" in {caution.caution_id for caution in shown}
