"""The page of the grammar says what the parser does."""

import pytest

from console.entry.editing.answering import answered
from console.entry.editing.spelling_out import Habit, spelled_out
from console.entry.grammar import GRAMMAR, GrammarRow
from console.entry.token_kind import TokenKind
from console.entry.vocabulary import VOCABULARY
from console.yard.yard import Yard
from grade_library.library import load
from grade_library.naming.names import NameIndex
from tests.console.entry.conftest import Reader, bay

_KIND_OF_TOPIC = {
    "weight": TokenKind.WEIGHT,
    "metal": TokenKind.CLAIM,
    "note": TokenKind.NOTE,
    **{kind.value: kind for kind in TokenKind},
}


@pytest.mark.parametrize("row", GRAMMAR, ids=lambda row: row.example)
def test_every_example_is_understood_as_its_topic(names: NameIndex, yard: Yard, row: GrammarRow) -> None:
    """Each example on the page parses without a problem and holds a token of its topic."""
    from dataclasses import replace

    with_bay = replace(yard, bays=(*yard.bays, bay("SSA", "stainless")))

    said = spelled_out(
        answered(row.example, lambda line: "Ni", names, frozenset()),
        Habit(elements=("Cr", "Ni", "Fe")),
        names=names,
        yard=with_bay,
        grade=load().grade,
    )
    parsed = Reader(names, with_bay)(said)

    is_no_piece = row.topic in ("load", "tag")  # a line of its own, which tallies nothing
    assert parsed.can_be_tallied != is_no_piece, parsed.problems
    assert not parsed.problems
    assert _KIND_OF_TOPIC[row.topic] in {token.kind for token in parsed.tokens}


def test_every_reserved_short_form_stands_on_the_page() -> None:
    """Every short form of the vocabulary is explained on the page of the line's words."""
    page = " ".join(f"{row.how} {row.meaning}" for row in GRAMMAR)
    assert [row.short for row in VOCABULARY if row.short not in page] == []


def test_every_kind_of_token_but_unknown_has_a_row() -> None:
    """Every kind of word that the line understands has its row on the page."""
    topics = {_KIND_OF_TOPIC[row.topic] for row in GRAMMAR}
    assert set(TokenKind) - topics == {TokenKind.UNKNOWN, TokenKind.SHOT}


def test_a_row_lists_the_short_forms_of_its_own_topic() -> None:
    """The row of the magnet tells m0, m1 and m2, and no form of another topic."""
    by_topic = {row.topic: row.meaning for row in GRAMMAR}

    assert by_topic["magnet"] == "m0 none, m1 weak, m2 strong"
    for kind in (TokenKind.HEFT, TokenKind.SPARK, TokenKind.FORM, TokenKind.SURFACE):
        assert by_topic[kind.value].split()[0] in {row.short for row in VOCABULARY if row.kind is kind}
