"""Whatever is typed, the line is understood or says why not; nothing is lost and nothing fails."""

from hypothesis import example, given, settings
from hypothesis import strategies as st

from console.entry.parse import parse_line
from console.entry.parsed import ParsedLine
from console.entry.token_kind import TokenKind
from console.entry.vocabulary import BY_WORD
from console.yard.yard import Yard
from grade_library.naming.names import NameIndex

_WORDS = (
    "12.4 304 6061-T6 cr18.2 ni 8.1 < = nd pb<0.02 / // /// ; @ @ybr ybr x3 3pcs kg 5kg d8.4 iacs43 #m2 , ? "
    "-5 s7 ti64 0 1,200 cu brass sheeet +- 99999999999999999999 ² ٣ x é \x1b["
)
_PIECES = st.sampled_from([*BY_WORD, "yellow brass", *_WORDS.split(" ")])


def check_whole(parsed: ParsedLine) -> None:
    """Assert the promises that hold for every line."""
    places = [0] * len(parsed.line)
    for token in parsed.tokens:
        assert 0 <= token.start < token.end <= len(parsed.line)
        assert token.meaning
        for place in range(token.start, token.end):
            places[place] += 1
    for place, sign in zip(places, parsed.line, strict=True):
        assert place == 1 or (sign.isspace() and place <= 1)
    starts = [token.start for token in parsed.tokens]
    assert starts == sorted(starts)
    assert parsed.problems == tuple(token.problem for token in parsed.tokens if token.problem)
    assert all(token.problem for token in parsed.tokens if token.kind is TokenKind.UNKNOWN)
    assert parsed.mass_g is None or parsed.mass_g > 0
    assert parsed.count >= 1


@settings(max_examples=300, deadline=None)
@given(line=st.text(st.characters(codec=None), max_size=80))
@example("\ud800 12 304")
@example("12kg ;" + "x" * 2000)
@example("x" * 3000)
@example("12 +n2")
def test_any_text(names: NameIndex, yard: Yard, line: str) -> None:
    """Any text at all: every non-blank character stands in exactly one token."""
    check_whole(parse_line(line, names=names, yard=yard))


@settings(max_examples=200, deadline=None)
@given(pieces=st.lists(_PIECES, max_size=12), joint=st.sampled_from([" ", "  ", "", ","]))
def test_any_words_of_the_grammar(names: NameIndex, yard: Yard, pieces: list[str], joint: str) -> None:
    """Words of the grammar in any order and number."""
    check_whole(parse_line(joint.join(pieces), names=names, yard=yard))


@settings(max_examples=100, deadline=None)
@given(pieces=st.lists(_PIECES, max_size=8))
def test_without_names_and_yard(pieces: list[str]) -> None:
    """A line is read without a library and without a yard too."""
    check_whole(parse_line(" ".join(pieces), names=None, yard=None))


_FREE_ORDER = ["12.4kg", "304", "m0", "ky", "sy", "h4", ".s", "+p", "x3", "z2", "d7.9", "cr18.2", "ni8.1"]


@settings(max_examples=60, deadline=None)
@given(order=st.permutations(_FREE_ORDER), upper=st.booleans())
def test_order_and_case_do_not_matter(names: NameIndex, yard: Yard, order: list[str], upper: bool) -> None:
    """The same words in any order and case say the same."""
    usual = parse_line(" ".join(_FREE_ORDER), names=names, yard=yard)
    line = " ".join(order)

    parsed = parse_line(line.upper() if upper else line, names=names, yard=yard)

    assert parsed.problems == ()
    assert (parsed.mass_g, parsed.count) == (12_400, 3)
    assert parsed.facts.bench == usual.facts.bench
    assert parsed.facts.shots == usual.facts.shots
    assert parsed.facts.claim is not None and usual.facts.claim is not None
    assert parsed.facts.claim.grade_ids == usual.facts.claim.grade_ids
