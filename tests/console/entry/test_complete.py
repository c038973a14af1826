"""A word begun is finished from bays, reserved words and names."""

import pytest

from console.entry.editing.complete import complete, said_again
from console.yard.yard import Yard
from grade_library.naming.names import NameIndex


def ways(line: str, names: NameIndex, yard: Yard) -> tuple[str, ...]:
    """Return what is offered at the end of a line."""
    return complete(line, len(line), names, yard).ways


@pytest.mark.parametrize(
    ("line", "offered"),
    [
        ("5 yb", "YBR"),
        ("5 pai", "painted"),
        ("5 yellow br", "brass"),
        ("5 stainl", "stainless"),
        ("5 606", "6061"),
        ("5 cr18/ni8 pai", "painted"),
    ],
)
def test_what_is_offered(names: NameIndex, yard: Yard, line: str, offered: str) -> None:
    """Bays, facts and names that the word begins are offered."""
    assert offered in ways(line, names, yard)


@pytest.mark.parametrize("line", ["12.4 @", "12.4 @y", "@Y"])
def test_after_the_sign_of_a_bay_only_bays_are_offered(names: NameIndex, yard: Yard, line: str) -> None:
    """An @ is kept, and nothing but a bay takes its place."""
    offered = ways(line, names, yard)

    assert "@YBR" in offered
    assert set(offered) <= {f"@{bay.code}" for bay in yard.bays}


@pytest.mark.parametrize(
    ("line", "first"),
    [("5 manganese br", "bronze"), ("5 MANGANESE BR", "bronze"), ("5 spark bu", "bursting")],
)
def test_a_name_of_several_words_goes_on_as_it_began(
    names: NameIndex, yard: Yard, line: str, first: str
) -> None:
    """The words before the last belong to the name: after "manganese br" comes bronze, not brass."""
    assert ways(line, names, yard)[0].split()[0] == first


def test_what_the_yard_meets_oftener_is_offered_first(names: NameIndex, yard: Yard) -> None:
    """Of the names that begin alike the likelier come first, whichever grade a yard meets."""
    for oftener, rarer in (("6061", "6063"), ("6063", "6061")):
        offered = complete("5 606", 5, names, yard, {oftener: 0.3, rarer: 0.1}).ways
        assert offered[:2] == (oftener, rarer)


def test_a_name_of_several_words_is_offered_whole(names: NameIndex, yard: Yard) -> None:
    """Its first letters bring all of its words."""
    offered = ways("5 mangan", names, yard)

    assert any(" " in way for way in offered)
    assert len({way.casefold() for way in offered}) == len(offered)


@pytest.mark.parametrize("line", ["", "5 ", "5 ; yb", "5; stainl", "5", "5 ;", "12"])
def test_nothing_is_offered_where_no_word_is_begun(names: NameIndex, yard: Yard, line: str) -> None:
    """Not after a blank, not in a note, not in a weight."""
    assert ways(line, names, yard) == ()


def test_only_what_stands_before_the_cursor_counts(names: NameIndex, yard: Yard) -> None:
    """What follows the cursor is no part of the word, and the place of the word is told."""
    found = complete("5 pai 12.4", 5, names, yard)

    assert found.start == 2
    assert "painted" in found.ways


def test_the_word_itself_is_not_offered(names: NameIndex, yard: Yard) -> None:
    """A finished word is finished to nothing."""
    assert "brass" not in ways("5 brass", names, yard)


def test_a_name_said_before_is_offered_before_bays_and_words(names: NameIndex, yard: Yard) -> None:
    """The last one first, whole; a weight being typed is none, and after @ there are only bays."""
    said = ("yellow brass", "7075", "yellow metal")

    assert complete("5 y", 3, names, yard, said=said).ways[:3] == ("yellow brass", "yellow metal", "YBR")
    assert complete("7", 1, names, yard, said=said).ways == complete("7", 1, names, yard).ways
    assert set(complete("5 @y", 4, names, yard, said=said).ways) == {"@YBR"}


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        ("5 6", "6063"),
        ("5 y", "yellow brass"),
        ("5 yellow b", "brass"),
        ("5 m0 ", "yellow brass"),
        ("5kg 6", "6063"),
    ],
)
def test_a_name_said_before_comes_first(names: NameIndex, yard: Yard, line: str, wanted: str) -> None:
    """Before bays, words and other names, from its first letter or figure on."""
    said = ("yellow brass", "6063", "6061")
    found = complete(line, len(line), names, yard, said=said)

    assert found.ways[0] == wanted


def test_a_weight_being_typed_is_no_name_said_before(names: NameIndex, yard: Yard) -> None:
    """Nor what stands in a note, nor a bay behind its sign."""
    for line in ("6", "60", "5 ; 6", "5 @6"):
        assert complete(line, len(line), names, yard, said=("6063", "@60")).ways == (), line


def test_a_name_that_stands_goes_on_to_a_longer_one() -> None:
    """What stands already is not offered behind itself."""
    assert said_again("5 yellow", 8, ("yellow", "yellow brass")).ways == ("yellow brass",)
