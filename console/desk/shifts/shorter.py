"""Shorter lines that say the same, found by trying: what practice shows beside what was typed."""

import itertools
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from console.entry.editing.spelling_out import elements_of
from console.entry.parse import parse_line
from console.entry.parsed import ParsedLine, Token
from console.entry.token_kind import TokenKind
from console.entry.vocabulary import NO_PULL, NO_PULL_SHORT, VOCABULARY
from console.readings.shot_text import number_text
from grade_library.facts import Claim, Reading

if TYPE_CHECKING:
    from console.desk.desk import Desk

_READ = frozenset({TokenKind.READING, TokenKind.SHOT, TokenKind.TECHNIQUE})
_ELSEWHERE = frozenset({*_READ, TokenKind.WEIGHT, TokenKind.REMARK})


def shorter(desk: "Desk", line: str) -> str:
    """Return the shortest line found that says the same as one that was tallied; empty where none is shorter.

    Tried are short forms, blanks left out, a reading in one word or as values alone in the order of the metal
    that the line names. A note is left out: no key can spare it.
    """
    wanted = desk.consider(line.partition(";")[0].strip())
    ways = {way for way in _ways(desk, wanted.parsed) if len(way) < len(wanted.parsed.line)}
    for way in sorted(ways, key=lambda one: (len(one), one)):
        full = desk.piece.habit.in_full(way)
        if said_by(parse_line(full, names=desk.names, yard=desk.yard)) == said_by(wanted.parsed):
            found = desk.consider(full)
            if (found.cautions, found.held_for) == (wanted.cautions, wanted.held_for):
                return way
    return ""


def said_by(parsed: ParsedLine) -> tuple[object, ...]:
    """Return all that a line says of the piece; how it was written left out."""
    facts = parsed.facts
    claim = replace(facts.claim, text="") if facts.claim else None
    return (
        parsed.can_be_tallied,
        *(parsed.mass_g, parsed.weighings, parsed.is_on_platform, parsed.count),
        *(parsed.bay_code, parsed.is_hold, claim and meant(claim), facts.bench, facts.shots),
    )


def meant(claim: Claim) -> tuple[object, ...]:
    """Return what a name stands for, however it is written."""
    return claim.grade_ids, claim.material_ids, claim.is_exact, claim.is_near


def weight_typed(parsed: ParsedLine) -> str:
    """Return the weight of a line without figures that say nothing."""
    text = next((token.text for token in parsed.tokens if token.kind is TokenKind.WEIGHT), "")
    return text.removesuffix(".0").removeprefix("0") if "." in text else text


def forms_and_words(tokens: Sequence[Token]) -> tuple[list[str], list[Token]]:
    """Return the short forms of a line, and its other words; weight, reading and note left out."""
    forms: list[str] = []
    words: list[Token] = []
    for token in tokens:
        if token.kind in _ELSEWHERE:
            continue
        short = [row.short for row in VOCABULARY if row.kind is token.kind and row.meaning == token.meaning]
        if short:
            forms.append(min(short, key=len))
        else:
            words.append(token)
    return forms, words


def readings_typed(
    shots: Sequence[Reading], parsed: ParsedLine, orders: Sequence[Sequence[str]]
) -> Iterator[str]:
    """Yield the shots of a piece as one word each, or as values alone in the orders that are known."""
    if len(shots) > 1:
        yield "//".join(_glued(figures_typed(one)) for one in shots)
    if len(shots) != 1 or shots[0].below:
        return
    figures = figures_typed(shots[0], order_typed(parsed, shots[0]))
    yield _glued(figures)
    yield "".join(figure + symbol.casefold() for symbol, figure in figures.items())
    for order in orders:
        yield from _values_alone(figures, order)


def order_of_metal(desk: "Desk", claim: Claim | None) -> tuple[str, ...]:
    """Return the elements of a named metal in the order in which values alone are taken."""
    return elements_of([desk.library.grade(one) for one in claim.grade_ids]) if claim else ()


def order_typed(parsed: ParsedLine, reading: Reading) -> tuple[str, ...]:
    """Return the elements of a reading in the order typed."""
    letters = re.findall(
        r"[a-z]+", " ".join(t.text for t in parsed.tokens if t.kind is TokenKind.READING).casefold()
    )
    return tuple(sorted(reading.values, key=lambda one: letters.index(one.casefold())))


def laid_out(
    weight: str, reading: str, forms: Sequence[str], words: Sequence[str], finish: str = ""
) -> Iterator[str]:
    """Yield the parts of a line in a few orders, with blanks and with those left out that may be.

    Args:
        weight, reading, forms, words: The parts; empty for none.
        finish: Key that finishes a word and puts the blank behind it; empty for none.
    """
    run, spaced = "".join(forms), " ".join(forms)
    begun = f"{weight}{reading}" if reading.startswith("=") else f"{weight} {reading}".rstrip()
    is_finished = bool(finish and words and words[-1].endswith(finish))
    last = "" if not words or is_finished else " "
    said = "".join(w if finish and w.endswith(finish) else f"{w} " for w in words).rstrip(" ")
    for tail in {run, spaced, run.replace(NO_PULL_SHORT, NO_PULL)}:
        yield f"{begun}{tail} {said}".strip(" ")
        yield f"{begun} {tail} {said}".strip(" ").replace("  ", " ")
        yield f"{begun} {said}{tail}".strip(" ")
        yield f"{begun} {said}{last}{tail}".strip(" ").replace("  ", " ")
        yield f"{weight}{tail} {said}{last}{reading}".strip(" ").replace("  ", " ")
        if said[:1].isdigit() and forms and not reading:
            yield f"{weight}{tail}{said}"
            yield f"{weight}{forms[0]}{said}{tail.removeprefix(forms[0])}"
        if said[:1].isalpha() and not reading:
            yield f"{weight}{said}{tail}"
            yield f"{weight}{said}{last}{tail}".strip(" ")


def _ways(desk: "Desk", parsed: ParsedLine) -> Iterator[str]:
    forms, words = forms_and_words(parsed.tokens)
    techniques = [one.text for one in parsed.tokens if one.kind is TokenKind.TECHNIQUE]
    named = [" ".join(word.text.split()) for word in words]
    shots = [shot.reading for shot in parsed.facts.shots]
    orders = [order_of_metal(desk, parsed.facts.claim)]
    for reading in list(readings_typed(shots, parsed, orders)) or [""]:
        yield from laid_out(weight_typed(parsed), reading, forms, [*named, *techniques])


def figures_typed(reading: Reading, order: Sequence[str] = ()) -> dict[str, str]:
    """Return the figures of a reading by element, without noughts that say nothing [wt %]."""
    figures = {one: number_text(reading.values[one]) for one in order or reading.values}
    return {one: text.removeprefix("0") if "." in text else text for one, text in figures.items()}


def _glued(figures: Mapping[str, str]) -> str:
    return "".join(symbol.casefold() + figure for symbol, figure in figures.items())


def _values_alone(figures: Mapping[str, str], order: Sequence[str]) -> Iterator[str]:
    """Yield a reading as values in an order: what is missing left out or jumped over."""
    here = [one for one in order if one in figures]
    rest = {one: figure for one, figure in figures.items() if one not in here}
    for kept in range(len(here), 0, -1):
        others = {one: figures[one] for one in here[kept:]} | rest
        # A symbol and a whole number could name a grade and would end the values.
        behind = [_glued({one: f if "." in f else f"{f}."}) for one, f in others.items()]
        for begins, jumps in itertools.product(("", here[0].casefold()), (False, True)):
            items, place = [], 0
            for one in here[:kept]:
                skipped = order.index(one) - place
                place += skipped + 1
                symbol = one.casefold() if skipped and jumps else ""
                items += [] if symbol else ["-"] * skipped
                items.append(symbol + figures[one])
            yield " ".join([f"={begins}{items[0]}", *items[1:], *filter(None, ["".join(behind)])])
