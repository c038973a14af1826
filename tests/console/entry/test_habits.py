"""Lines as people write them: what a piece is not, its size, a weight that is about so much."""

import pytest

from console.entry.token_kind import KEPT, TokenKind
from tests.console.entry.conftest import Reader


@pytest.mark.parametrize(
    "denied",
    [
        "no brass",
        "not brass",
        "no 304",
        "kein messing",
        "pas de cuivre",
        "no es cobre",
        "non rame",
        "without lead",
    ],
)
def test_what_a_piece_is_not_is_asked(read: Reader, denied: str) -> None:
    """A denial names no metal: the line says so and what to type."""
    parsed = read(f"12.4 {denied}")

    assert parsed.facts.claim is None
    assert parsed.problems == (f"'{denied}': type what it is, or ? for hold; what it is not names no bay",)


@pytest.mark.parametrize(
    "line", ["12.4 aluminium without iron", "12.4 brass no lead", "12.4 copper ohne zinn"]
)
def test_beside_a_named_metal_a_denial_is_kept(read: Reader, line: str) -> None:
    """The name stands, the denial goes into the note."""
    parsed = read(line)

    assert parsed.problems == () and parsed.facts.claim is not None
    assert any(token.meaning == KEPT for token in parsed.tokens)
    assert parsed.note == " ".join(line.split()[2:])


@pytest.mark.parametrize("line", ["12.4 stainless no 304", "12.4 cable no copper", "12.4 304 no mo"])
def test_a_denial_of_what_the_name_can_hold_is_asked(read: Reader, line: str) -> None:
    """A steel that may hold it, or a thing that is made of it, is not what was named any more."""
    assert "type what it is" in " ".join(read(line).problems)


@pytest.mark.parametrize(
    ("line", "label"),
    [
        ("12.4 no 1 copper", "No. 1 copper"),
        ("12.4 mat no 1.4301", "304"),
        ("12.4 no. 304", "304"),
        ("12.4 lead free brass", "lead-free brass"),
    ],
)
def test_numbers_and_names_that_begin_so_deny_nothing(read: Reader, line: str, label: str) -> None:
    """ "No 1" is a sort, "no." a number, and a name is a name."""
    parsed = read(line)

    assert parsed.problems == () and parsed.facts.claim is not None
    assert parsed.facts.claim.label == label


@pytest.mark.parametrize("said", ["no rust", "no attachments", "without paint"])
def test_a_surface_that_is_not_there_says_nothing(read: Reader, said: str) -> None:
    """The piece is not called rusty for having none."""
    parsed = read(f"12.4 steel {said}")

    assert parsed.problems == () and not parsed.facts.bench.has_attachments
    assert "rusty" not in parsed.facts.bench.surfaces and "painted" not in parsed.facts.bench.surfaces


def test_no_paint_is_bare_metal(read: Reader) -> None:
    """A phrase that has a meaning of its own keeps it."""
    assert read("12.4 steel no paint").facts.bench.surfaces == {"bare"}


@pytest.mark.parametrize("words", ["a bit magnetic", "barely magnetic", "a little magnetic"])
def test_a_weak_pull_has_many_names(read: Reader, words: str) -> None:
    """None of them is a strong pull."""
    assert read(f"12.4 304 {words}").facts.bench.magnet == "weak"


@pytest.mark.parametrize(
    "size",
    ["1/2", '1/2"', "3/4in", "1-1/2", "1 1/2", "half inch", "dn50", "sch40", "awg 12", "12 gauge", "15mm"],
)
def test_a_size_is_kept_and_names_no_grade(read: Reader, size: str) -> None:
    """Half an inch of copper pipe is copper pipe, whichever side the size stands on."""
    for line in (f"3.2 {size} copper pipe", f"3.2 copper pipe {size}"):
        parsed = read(line)

        assert parsed.problems == () and parsed.mass_g == 3200
        assert parsed.facts.claim is not None and parsed.facts.claim.label == "C12200"
        assert "said: size" in [token.meaning for token in parsed.tokens]


def test_a_fraction_behind_a_whole_weight_is_asked(read: Reader) -> None:
    """Twelve and a half, or twelve kilograms of half an inch: the line does not guess."""
    parsed = read("12 1/2 copper pipe")

    assert parsed.mass_g == 12_000
    assert parsed.problems == ("'12 1/2': a weight is typed with a point, a size 1/2in",)
    assert read("copper pipe 12 1/2").problems == parsed.problems
    assert read("12 1/2 304").mass_g == 12_000 and read("12 1/2 304").problems == parsed.problems
    assert read("304/316 12.4").problems == () and read('12 1/2" copper pipe').problems == ()


@pytest.mark.parametrize("line", ["~12 304", "ca 12 304", "about 12 304", "12kg. 304", "approx. 12 304"])
def test_about_so_much_is_the_weight(read: Reader, line: str) -> None:
    """What is about twelve is weighed as twelve, and the name stays a name."""
    parsed = read(line)

    assert parsed.problems == () and parsed.mass_g == 12_000
    assert parsed.facts.claim is not None and parsed.facts.claim.label == "304"
    assert not any(token.kind is TokenKind.READING for token in parsed.tokens)


def test_within_a_line_the_same_letters_are_calcium(read: Reader) -> None:
    """Only before the weight "ca" says about."""
    assert read("ca metal 12").tokens[0].kind is not TokenKind.REMARK
    assert read("3 ca 12 mg 88").facts.shots[0].reading.values["Ca"] == 12.0


def test_a_label_that_leaves_no_word_is_no_trouble(read: Reader) -> None:
    """A scanner's prefix with nothing behind it is an empty word among the others."""
    for line in ("]C1", "12.4 ]C1 304", ": 12.4", "~ 12.4"):
        assert read(line).line == line
