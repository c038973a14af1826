"""A word that is not understood is asked once; a number answers, Enter again keeps it as a note."""

import pytest

from console.entry.claims import _likeness, close
from console.entry.editing.asking import answered, kept_as_note, question
from console.entry.parse import parse_line
from console.entry.parsed import ParsedLine
from console.entry.token_kind import ASKED_BACK, TokenKind
from console.yard.yard import Yard
from grade_library.facts import Claim, Form, PieceFacts
from grade_library.library import load
from grade_library.matcher.matching import identify
from grade_library.naming.names import NameIndex


@pytest.fixture(scope="module")
def names() -> NameIndex:
    return NameIndex(load())


def read(line: str, names: NameIndex) -> ParsedLine:
    return parse_line(line, names=names, yard=None)


def test_the_question_numbers_what_may_be_meant(names: NameIndex) -> None:
    """Aluminium or tinplate is asked with both offered, the likelier first."""
    said = question(read("12.4 cans", names))

    assert "aluminium or tinplate?" in said
    assert "1 aluminium cans, 2 tin can" in said
    assert "Enter again keeps it as a note" in said


@pytest.mark.parametrize(
    ("typed", "becomes"),
    [("12.4 cans 1", "12.4 aluminium cans"), ("12.4 cans2", "12.4 tin can"), ("12.4 cans", "12.4 ; cans")],
)
def test_a_number_answers_and_enter_again_keeps_the_word(names: NameIndex, typed: str, becomes: str) -> None:
    """The answer stands in the place of the word; the same line again moves the word into the note."""
    line = answered(read("12.4 cans", names), typed)

    assert line == becomes
    assert read(line, names).can_be_tallied


@pytest.mark.parametrize(
    ("line", "answer", "becomes"),
    [
        ("7.2 window frame painted", "1", "7.2 aluminium painted ; window frame"),
        ("1.2 hinge ; gate 3", "", "1.2 ; gate 3, hinge"),
        ("12 motor", "1", "12 electric motor"),
        ("12.4 sheeet 304", "1", "12.4 sheet 304"),
    ],
)
def test_what_a_thing_was_called_is_kept_beside_its_metal(
    names: NameIndex, line: str, answer: str, becomes: str
) -> None:
    """An answer that does not say the word any more leaves it as a note; a mended slip leaves nothing."""
    assert answered(read(line, names), f"{line} {answer}".rstrip()) == becomes


def test_a_hint_of_a_question_is_a_sentence_of_its_own(names: NameIndex) -> None:
    """What may be tried stands before the numbers, with a stop between."""
    assert "cast iron or lead? heft it. 1 cast iron, 2 lead." in question(read("3 sash weights", names))


@pytest.mark.parametrize("typed", ["12.4 cans 9", "12.4 brass", "13 cans 1"])
def test_anything_else_is_a_new_line(names: NameIndex, typed: str) -> None:
    """A number that was not offered, or another line, is no answer."""
    assert answered(read("12.4 cans", names), typed) is None


def test_nothing_typed_is_lost_in_the_note(names: NameIndex) -> None:
    """Every unknown word goes behind the note that stands there already."""
    kept = kept_as_note(read("12.4 blurple brass wobble ; gate 3", names))

    assert kept == "12.4 brass ; gate 3, blurple wobble"
    assert read(kept, names).note == "gate 3, blurple wobble"


@pytest.mark.parametrize("line", ["12.4 blurple ?", "12.4 blurple gas bottle"])
def test_an_unknown_word_keeps_nothing_up_where_hold_or_a_hazard_decides(names: NameIndex, line: str) -> None:
    """The word is kept as a note and the line can be tallied at once."""
    parsed = read(line, names)

    assert parsed.can_be_tallied, parsed.problems
    assert parsed.note == "blurple"


def test_a_second_number_beside_a_bay_is_no_note(names: NameIndex, yard: Yard) -> None:
    """It may be a weight or a count: 12.4 304 7.5 STN is two pieces on one line, and neither is dropped."""
    for line in ("12.4 304 7.5 ybr", "12.4 sheeet 304 7.5 ybr", "64 20 axc"):
        parsed = parse_line(line, names=names, yard=yard)
        assert not parsed.can_be_tallied, line
        assert "would be a second weight" in parsed.problems[-1]
    assert parse_line("12.4 blurple ybr", names=names, yard=yard).note == "blurple"
    assert parse_line("12.4 ? 27", names=names, yard=yard).note == "27"


@pytest.mark.parametrize(
    ("typed", "offered"), [("6036", "6063"), ("cr182", "cr18.2"), ("stel", "steel"), ("340", "304")]
)
def test_a_slip_is_offered_and_never_taken(names: NameIndex, typed: str, offered: str) -> None:
    """Two figures changed over, a point left out, a letter missed: the likely word is offered."""
    parsed = read(f"12.4 {typed}", names)

    assert parsed.facts.claim is None and not parsed.facts.shots
    assert parsed.asked is not None and offered in parsed.asked.offers


@pytest.mark.parametrize(
    ("line", "kind"),
    [
        ("12.4 1.4306", TokenKind.CLAIM),
        ("12.4 52100", TokenKind.CLAIM),
        ("12.4 3.7035", TokenKind.CLAIM),
        ("12.4 X52", TokenKind.UNKNOWN),
        ("12.4 ti 2", TokenKind.CLAIM),
        ("12.4 co 6", TokenKind.UNKNOWN),
        ("12.4 x52", TokenKind.UNKNOWN),
        ("12.4 x80", TokenKind.UNKNOWN),
    ],
)
def test_numbers_of_a_designation_are_no_weight_count_or_reading(
    names: NameIndex, line: str, kind: TokenKind
) -> None:
    """The weight stays 12.4 kg, the count one, and nothing was read."""
    parsed = read(line, names)

    assert (parsed.mass_g, parsed.count, parsed.facts.shots) == (12_400, 1, ())
    assert parsed.tokens[1].kind is kind


@pytest.mark.parametrize(
    ("line", "claim", "form"),
    [
        ("5 Messinghahn", "brass", "fitting"),
        ("5 tubo de cobre", "copper", "tube"),
        ("5 Edelstahlbleche", "stainless", "sheet"),
        ("5 Titanspäne", "titanium", "turnings"),
        ("5 Alu-Späne", "aluminium", "turnings"),
    ],
)
def test_a_metal_and_a_form_are_told_apart_in_any_language(
    names: NameIndex, line: str, claim: str, form: str
) -> None:
    """German compounds and phrases with small words give the metal and the form."""
    facts = read(line, names).facts

    assert facts.claim is not None and str(facts.bench.form or form) == form
    assert all(load().grade(one).group == claim for one in facts.claim.grade_ids)


@pytest.mark.parametrize(
    ("line", "group"), [("5 zinc gutter", "zinc"), ("5 Zinkdachrinne", "zinc"), ("5 tap brass", "brass")]
)
def test_a_question_is_settled_by_a_metal_on_the_line(names: NameIndex, line: str, group: str) -> None:
    """Zinc, copper, aluminium or steel? is not asked of a gutter that is said to be zinc."""
    parsed = read(line, names)

    assert parsed.can_be_tallied, parsed.problems
    assert parsed.facts.claim is not None
    assert {load().grade(one).group for one in parsed.facts.claim.grade_ids} == {group}


@pytest.mark.parametrize("line", ["5 steel taps", "5 stainless tap", "5 bronze taps"])
def test_taps_of_any_metal_are_a_form(names: NameIndex, line: str) -> None:
    """One or several: what metal they are of was said."""
    parsed = read(line, names)

    assert parsed.can_be_tallied and parsed.facts.claim is not None
    assert parsed.facts.bench.form is Form.FITTING
    assert read("5 taps", names).asked is not None


@pytest.mark.parametrize("line", ["5 titanium gutter", "5 gutter", "5 lead coins"])
def test_a_metal_that_is_no_answer_leaves_the_question(names: NameIndex, line: str) -> None:
    """A gutter is asked after as long as no metal of the question is on the line."""
    assert read(line, names).asked is not None


def test_likeness_is_a_part_of_a_hundred(names: NameIndex) -> None:
    """One letter too many among eight is seven eighths alike; what is alike by half is no name."""
    near = close(names, "inconnel")

    assert near is not None and near[1] == pytest.approx(100.0 * (1.0 - 1.0 / 8.0))
    claim = names.resolve("inconel")
    assert claim is not None and _likeness(names, "inxxxxl", claim) < 60.0


@pytest.mark.parametrize(
    ("typed", "grade_id"), [("CW113C", "C18700"), ("Hardox 400", "AR400"), ("TA2", "Ti Grade 2")]
)
def test_the_line_says_where_a_name_is_only_near(names: NameIndex, typed: str, grade_id: str) -> None:
    """A grade that only comes near to what was typed is said to be no more, on the line and in the reason."""
    parsed = read(f"12.4 {typed}", names)

    assert parsed.tokens[1].meaning.startswith(f"{typed}: near {grade_id}, not the same")
    reasons = identify(parsed.facts, load()).candidates[0].reasons
    assert f"({typed} is near it)" in reasons[0].text


def test_a_grade_often_called_so_is_not_said_to_be_the_one_named() -> None:
    """What speaks for a metal that is only often taken for the named one says so."""
    claim = Claim(text="1.4865", label="1.4865", grade_ids=frozenset({"1.4865"}))

    texts = {
        candidate.grade.grade_id: candidate.reasons[0].text
        for candidate in identify(PieceFacts(claim=claim), load()).candidates
    }

    assert texts.pop("1.4865").endswith("claimed: this grade")
    assert texts and not any(text.endswith("claimed: this grade") for text in texts.values())


@pytest.mark.parametrize(
    ("line", "material"),
    [
        ("5 gearbox pump", "pump"),
        ("5 pc motherboards", "circuit board"),
        ("5 compresseur de frigo", "sealed unit"),
        ("5 starter off a van", "starter motor"),
    ],
)
def test_what_a_thing_was_part_of_is_no_second_name(names: NameIndex, line: str, material: str) -> None:
    """Of two things in a row the last is the piece, with a word that joins between them the first."""
    parsed = read(line, names)

    assert parsed.problems == ()
    assert parsed.facts.claim is not None and parsed.facts.claim.material_ids == (material,)


def test_two_metals_are_still_asked(names: NameIndex) -> None:
    """Nothing of this lets a second metal go unasked."""
    assert read("5 brass zinc", names).problems


@pytest.mark.parametrize(
    ("typed", "label"), [("d'\u00e9tain", "tin"), ("d'acier", "steel"), ("l\u2019ottone", "brass")]
)
def test_an_elided_article_is_no_part_of_the_word(names: NameIndex, typed: str, label: str) -> None:
    """What French and Italian write onto the next word is left out of the look-up, never of the line."""
    parsed = read(f"5 {typed}", names)

    assert parsed.problems == () and parsed.facts.claim is not None
    assert parsed.facts.claim.label == label and parsed.tokens[1].text == typed


@pytest.mark.parametrize("typed", ["hopper", "barbecue", "Regal", "Fahrradrahmen"])
def test_a_common_thing_is_no_slip_for_a_metal(names: NameIndex, typed: str) -> None:
    """A word one letter from a metal's, and of another beginning, names none: it is asked what it is of."""
    parsed = read(f"5 {typed}", names)

    assert parsed.facts.claim is None
    assert parsed.asked is not None and parsed.asked.meaning == ASKED_BACK


def test_a_word_of_another_beginning_is_not_guessed_at(names: NameIndex) -> None:
    """Fingers rarely miss the first letter: "zopper" is asked and not taken for copper."""
    assert names.resolve("zopper") is None and names.resolve("coppre") is not None


@pytest.mark.parametrize(
    ("line", "answer"),
    [
        ("30 engine block m2", "iron engine block"),
        ("30 engine block m0", "aluminium engine block"),
        ("3 cans m2", "tin can"),
        ("3 cans m0", "aluminium cans"),
        ("30 engine block m1", None),  # a weak pull leaves both
        ("3 gutter m0", None),  # zinc, copper and aluminium are left
    ],
)
def test_a_magnet_answers_what_it_can(names: NameIndex, line: str, answer: str | None) -> None:
    """A question with one answer that holds a magnet, or one that does not, is answered by the magnet."""
    parsed = read(line, names)
    claim = parsed.facts.claim

    assert (None if claim is None else claim.material_ids) == (None if answer is None else (answer,))
    assert (parsed.asked is None) is (answer is not None)


@pytest.mark.parametrize(
    ("line", "label"), [("1 brass key", "brass"), ("1 steel keys", "steel"), ("1 key", "key")]
)
def test_the_metal_of_a_key_decides_where_it_is_said(names: NameIndex, line: str, label: str) -> None:
    """Keys are of several metals: what is said of the metal goes before the name of the thing."""
    claim = read(line, names).facts.claim

    assert claim is not None
    assert claim.label == label
