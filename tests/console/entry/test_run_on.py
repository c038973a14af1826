"""Blanks that a sorter in a hurry leaves out before short forms and bays."""

from dataclasses import replace

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from console.entry.parse import parse_line
from console.entry.parsed import ParsedLine
from console.yard.yard import Yard
from grade_library.naming.names import NameIndex
from tests.console.entry.conftest import Reader, bay


def said(parsed: ParsedLine) -> tuple[object, ...]:
    """Return what a line says, however it is written."""
    tokens = tuple((token.kind, token.meaning) for token in parsed.tokens)
    return tokens, parsed.mass_g, parsed.count, parsed.bay_code, parsed.is_hold, parsed.facts.shots


@pytest.mark.parametrize(
    ("run_on", "spaced"),
    [
        ("12.4.e+b", "12.4 .e +b"),
        ("12.4kg.s", "12.4kg .s"),
        ("12.4m0kd", "12.4 m0 kd"),
        ("12.4ybr", "12.4 ybr"),
        ("12.4ybr.s", "12.4 ybr .s"),
        ("2.6?", "2.6 ?"),
        ("5 304.sm0", "5 304 .s m0"),
        ("5 304m0", "5 304 m0"),
        ("5 63s.e", "5 63s .e"),
        ("5 titanium.t", "5 titanium .t"),
        ("5 cr18.2ni8.1.sm0", "5 cr18.2ni8.1 .s m0"),
        ("5 cr18.2ni8.1m0", "5 cr18.2ni8.1 m0"),
        ("5M0KD", "5 m0 kd"),
        ("5copper", "5 copper"),
        ("5copper.tm0", "5 copper .t m0"),
        ("5pipe m0", "5 pipe m0"),
        ("8.6copper pipe", "8.6 copper pipe"),
        (".7a2.n", ".7 a2 .n"),
        ("6.1.s", "6.1 .s"),
        ("5 304?", "5 304 ?"),
        ("2.4.s-", "2.4 .s m0"),
        ("6.3.t+p", "6.3 .t +p"),
        ("12.4.s304", "12.4 .s 304"),
        ("5.s304-", "5 .s 304 m0"),
        ("5.s1.4301", "5 .s 1.4301"),
        ("5.e+p63s", "5 .e +p 63s"),
        ("5.c356.0", "5 .c 356.0"),
        ("5-", "5 m0"),
        ("5-h3.s", "5 m0 h3 .s"),
        ("2.4.b-", "2.4 .b m0"),
        ("5 304-", "5 304 m0"),
        ("5 1.4301-.s", "5 1.4301 m0 .s"),
        ("64-28.s-", "64-28 .s m0"),
        ("5-?", "5 m0 ?"),
        ("5 krsr", "5 kr sr"),
        ("5 kysr", "5 ky sr"),
        ("3.4.tm0krsr", "3.4 .t m0 kr sr"),
        ("5 s235.m", "5 s235 .m"),
        ("5 en-aw-6060.pm0", "5 en-aw-6060 .p m0"),
    ],
)
def test_a_blank_may_be_left_out_before_a_short_form_or_a_bay(run_on: str, spaced: str, read: Reader) -> None:
    """What is run together says exactly what the words say with blanks between them."""
    assert said(read(run_on)) == said(read(spaced))
    assert not read(run_on).problems


@pytest.mark.parametrize(
    "line",
    [
        *(
            "5 42crmo4+a",
            "5 16mncr5+a",
            "5 4140+a",
            "5 1.4301",
            "5 356.0",
            "3kg 304",
            "5 d2.5",
            "5 s7",
            "5 al99.5",
        ),
        *("5 x52", "5 64-28", "5 60-40", "5 90/10", "5 cr18.2h2", "3x 5", "5 e.g", "5 tool.ob", "5 zz.s"),
        *("5 5052-h3", "5 Kupfer- und", "5 -", "5 60-40", "5 6061-t6", "5 -m0", "64-28"),
        *("5.s-304", "5.s30", "5.h304", "5.t2", "5 .s64-28", "5.m2.4", "5h1304"),
        *("5 sr2.1", "5 sr", "5 cr18.2sr"),
        *("5sn", "5cu", "5 scrapm0"),
        *("304tube", "5in", "5ti64", "2tin", "4xyzzy", "3pcs", "5kr", "5or", "5off", "2pieces"),
    ],
)
def test_what_means_something_as_it_stands_or_nothing_in_parts_stays_whole(line: str, read: Reader) -> None:
    """Tempers, norm numbers, readings and words that nobody knows are no run of short forms."""
    words = line.split()

    assert [token.text for token in read(line).tokens if token.text in words] == words


@pytest.mark.parametrize("form", [".s", ".t", ".b", ".e", "+p", "+c", "+a", "?", "m0", "ky"])
def test_no_weight_and_form_make_a_name(form: str, read: Reader) -> None:
    """Old and foreign designations are two figures and a letter (61S, 24S, 63S); weights with a form are
    weights, whatever their figures."""
    for tenths in range(1, 100):
        weight = f"{tenths // 10}.{tenths % 10}"

        assert said(read(weight + form)) == said(read(f"{weight} {form}")), weight


PARTS = st.permutations([".s", "+p", "-", "z2", "ky", "sr"])
"""Not the heft: 5h4.s reads as hydrogen and sulfur, as it always did."""


@given(parts=PARTS, count=st.integers(1, 6))
def test_any_run_of_short_forms_is_that_of_its_words(parts: list[str], count: int, read: Reader) -> None:
    """In whatever order and however many, behind a weight; red right behind it is strontium by the per
    cent."""
    some = parts[:count]
    assume(some[0] != "sr")

    spaced = ["m0" if one == "-" else one for one in some]

    assert said(read("5" + "".join(some))) == said(read(" ".join(["5", *spaced])))


def test_a_unit_a_count_and_an_element_go_before_a_bay_of_that_name(yard: Yard, names: NameIndex) -> None:
    """A yard may call its bays KG, OFF or SN; behind a number these say what they always say."""
    called = replace(yard, bays=(*yard.bays, *(bay(code, "odd") for code in ("KG", "OFF", "SN", "M0", "ZZ"))))
    cut = {
        one: parse_line(one, names=names, yard=called).bay_code
        for one in ("5kg", "5off", "5sn", "5zz", "5 m0")
    }

    assert cut == {"5kg": None, "5off": None, "5sn": None, "5zz": "ZZ", "5 m0": "M0"}
