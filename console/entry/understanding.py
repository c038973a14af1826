"""Says what each word of an entry line stands for, by rules in a fixed order.

The order: bay codes; weights with a unit, counts, densities, conductivities; short forms and readings that
can be nothing else; phrases that call for a caution; names of several words; single words that call for a
caution; the yard's own techniques; readings; reserved words and phrases; names; bare numbers. What is left
is not understood and says so.
"""

import re
from dataclasses import replace

from console.entry.amounts.contents import take_contents
from console.entry.amounts.fasteners import take_fasteners
from console.entry.amounts.quantities import take_quantities
from console.entry.amounts.sizes import take_fractions, take_sizes
from console.entry.amounts.weighed import take_weight
from console.entry.caution_words import take_cautions
from console.entry.claims import (
    FORCED,
    LONGEST_NAME,
    exact,
    exact_number,
    near_words,
    take_claim,
    take_named_phrases,
    take_names,
)
from console.entry.compounds import known_end
from console.entry.draft import Draft
from console.entry.splitting import Word
from console.entry.things.negated import keep_denials, take_negations
from console.entry.things.settling import settle
from console.entry.token_kind import ASKED_BACK, TokenKind
from console.entry.vocabulary import BY_WORD, JOINS, LONGEST_PHRASE, is_literal, remark, reserved
from console.entry.yard_words import YardWords, bay_codes
from console.ground.mass import NUMBER, is_number
from console.ground.scanned import bare_tag
from console.readings.element_readings import (
    SYMBOLS,
    ElementValue,
    is_symbol_and_whole_number,
    is_value_before_symbol,
    read_glued,
    read_spaced,
    slipped_points,
    why_no_reading,
)
from grade_library.naming.names import NameIndex

_TECHNIQUES = ("xrf", "libs", "lab", "laser", "cert")
"""Words that say that what stands with them was read."""


def understand(words: tuple[Word, ...], names: NameIndex | None, yard: YardWords | None) -> Draft:
    """Return the words with what each was taken for; every word is taken exactly once.

    Two rules give way when they would leave the line without a weight. A symbol, a blank and a number
    ("ni 8.1") is a reading, but if it is the only one, the number is the weight and the word what it means by
    itself ("cu 5.2", "sn 12.4"). A number before a name may belong to it ("12.4 260 brass"), but the only
    number of a line is its weight ("260 brass").
    """
    draft = _understand(words, names, yard)
    if draft.of_kind(TokenKind.WEIGHT):
        return draft
    readings = draft.of_kind(TokenKind.READING)
    spaced = [mark for mark in readings if mark.last == mark.first + 1 and is_number(draft.key(mark.last))]
    if len(readings) == len(spaced) == 1:
        other = _understand(words, names, yard, joins_symbols=False)
    elif any(is_number(draft.key(mark.first)) for mark in draft.of_kind(TokenKind.CLAIM)):
        other = _understand(words, names, yard, joins_numbers=False)
    else:
        return draft
    is_better = other.of_kind(TokenKind.WEIGHT) and not other.of_kind(TokenKind.UNKNOWN)
    return other if is_better else draft


def _understand(
    words: tuple[Word, ...],
    names: NameIndex | None,
    yard: YardWords | None,
    *,
    joins_symbols: bool = True,
    joins_numbers: bool = True,
) -> Draft:
    draft = Draft(words=words)
    _take_shots(draft)
    _take_values_alone(draft)
    _take_bays(draft, yard, names)
    take_fractions(draft)
    take_quantities(draft, yard, lambda key: exact(names, key) is not None)
    take_fasteners(draft, names)
    take_contents(draft)
    _take_plain_signs(draft, names)
    _take_magnet_phrases(draft)
    take_cautions(draft, names, least=2)
    take_negations(draft, names)
    take_named_phrases(draft, names, joins_numbers=joins_numbers)
    take_cautions(draft, names, least=1)
    _take_own_techniques(draft, yard)
    _take_readings(draft, names, joins_symbols=joins_symbols)
    _take_reserved(draft, names)
    take_names(draft, names)
    keep_denials(draft)
    take_sizes(draft)
    _take_bare_numbers(draft, names, yard)
    _take_the_rest(draft, names)
    settle(draft, names, bay_codes(yard))
    return draft


def _take_shots(draft: Draft) -> None:
    for index in draft.free_words():
        if draft.key(index) in ("/", "//"):
            is_ground = draft.key(index) == "//"
            meaning = "next shot, spot ground" if is_ground else "next shot"
            draft.take(TokenKind.SHOT, index, index, meaning, value=is_ground)


_VALUE = re.compile(rf"{NUMBER}|(?:[a-z]{{1,2}}{NUMBER})+")
_VALUES_ALONE = re.compile(rf"(?:{NUMBER})?[=*](?:{_VALUE.pattern})")


def _take_values_alone(draft: Draft) -> None:
    """Take values whose elements nobody knows; those that somebody knows were written out before."""
    for index in draft.free_words():
        if not _VALUES_ALONE.fullmatch(draft.key(index)) or (index and draft.key(index - 1) in SYMBOLS):
            continue
        last = index
        while draft.is_free(last + 1) and _VALUE.fullmatch(draft.key(last + 1)):
            last += 1
        typed = draft.text(index, last)
        if "*" in typed:
            problem = f"type the element, as *cr18.2: nothing is asked for where '{typed}' stands"
        else:
            problem = (
                f"type the elements, as cr18.2 ni8.1: '{typed}' does not name all, and neither "
                "a reading before nor the metal named here does"
            )
        draft.take(TokenKind.UNKNOWN, index, last, ASKED_BACK, problem=problem)


def _take_bays(draft: Draft, yard: YardWords | None, names: NameIndex | None) -> None:
    bays = () if yard is None else yard.bays
    # A label has the letters and digits of a code only; a bay that is called so itself goes first.
    codes = {bare_tag(bay.code).casefold(): bay for bay in bays} | {bay.code.casefold(): bay for bay in bays}
    for index in draft.free_words():
        key = draft.key(index)
        is_named = key.startswith("@")
        bay = codes.get(key.removeprefix("@"))
        if bay is not None and not is_named and _begins_a_name(draft, names, index):
            continue
        if bay is not None:
            draft.take(TokenKind.BAY, index, index, f"bay {bay.code} {bay.name}", value=bay.code)
        elif is_named and yard is not None:
            known = ", ".join(bay.code for bay in yard.bays)
            problem = f'no bay "{draft.text(index)[1:]}"; there are {known}'
            draft.take(TokenKind.BAY, index, index, "no such bay", problem=problem)


def _begins_a_name(draft: Draft, names: NameIndex | None, first: int) -> bool:
    """Tell whether a name of three words or more begins here: "fer à béton" is no bay FER with a note.

    Of two words the second is mostly a form or a finish: "fer sheet" is sheet for the bay.
    """
    lengths = range(3, draft.free_run(first, LONGEST_NAME) + 1)
    return any(exact(names, draft.key(first, first + length - 1)) for length in lengths)


def _take_own_techniques(draft: Draft, yard: YardWords | None) -> None:
    """Take the names of the yard's own techniques; those of the shipped ones are reserved words."""
    own = {} if yard is None else yard.techniques
    for index in draft.free_words():
        profile = own.get(draft.key(index))
        if profile is not None and reserved(profile.key) is None:
            draft.take(TokenKind.TECHNIQUE, index, index, f"reading by {profile.label}", value=profile.key)


def _take_plain_signs(draft: Draft, names: NameIndex | None) -> None:
    """Take what cannot be part of a name: short forms ("m0"), readings with point or sign ("cr18.2")."""
    for index in draft.free_words():
        key = draft.key(index)
        word = reserved(key)
        if word is not None:
            # "sn" may be tin with its number behind it.
            if key == word.short and key not in SYMBOLS:
                draft.take(word.kind, index, index, word.meaning, value=word.value)
        elif any(sign in key for sign in ".,=<:"):
            values = read_glued(key)
            if values and not _may_be_name(names, key) and not is_value_before_symbol(key):
                _take_reading(draft, index, index, values)


def _take_magnet_phrases(draft: Draft) -> None:
    """Take the magnet and what it does, before "magnet" can name a metal: "magnet weak", "no magnet"."""
    for index in draft.free_words():
        if draft.free_run(index, 2) < 2:
            continue
        word = BY_WORD.get(draft.key(index, index + 1))
        if word is not None and word.kind is TokenKind.MAGNET:
            draft.take(word.kind, index, index + 1, word.meaning, value=word.value)


def _may_be_name(names: NameIndex | None, key: str) -> bool:
    """Return True for a reading that the dictionary knows as a name: "s7", "al99.5", "sn96.5ag3cu0.5"."""
    return names is not None and "<" not in key and (is_symbol_and_whole_number(key) or names.has(key))


def _take_readings(draft: Draft, names: NameIndex | None, *, joins_symbols: bool) -> None:
    either: list[int] = []
    alone: list[int] = []
    for index in draft.free_words():
        key = draft.key(index)
        values = () if reserved(key) is not None else read_glued(key)
        if values:
            if _may_be_name(names, key) and exact(names, key) is not None:
                either.append(index)
            else:
                _take_reading(draft, index, index, values)
            continue
        spaced = read_spaced([draft.key(i) for i in range(index, index + draft.free_run(index, 3))])
        if spaced is not None and _names_grade(draft, index, spaced[1]):
            alone.append(index)
        elif spaced is not None and (joins_symbols or not is_number(draft.key(index + spaced[1] - 1))):
            _take_reading(draft, index, index + spaced[1] - 1, (spaced[0],))
    _take_symbols_with_number(draft, names, alone, is_one=len(alone) == 1 and not either)
    # "s7" and "ti64" name grades and have the shape of readings: readings come several to a line.
    has_readings = bool(draft.of_kind(TokenKind.READING)) or len(either) > 1
    for index in either:
        claim = exact(names, draft.key(index))
        if has_readings or claim is None:
            _take_reading(draft, index, index, read_glued(draft.key(index)))
        else:
            values = read_glued(draft.key(index))
            hint = f" taken as grade; reading: {' '.join(f'{one.symbol}={one.value:g}' for one in values)}"
            take_claim(draft, index, index, claim, hint)


_SHORT_NUMBER = re.compile(r"[0-9]{1,2}")
"""Numbers of grades that follow a symbol: "ti 2", "co 6"."""


_GRADE_SYMBOLS = ("ti", "co", "zr")
"""Symbols that people say with the number of a grade: titanium grade 2, hard metal with 6 % cobalt,
zirconium alloy 2."""


def _names_grade(draft: Draft, index: int, words: int) -> bool:
    """Return True for a symbol and a whole number, "ti 2": a reading among readings, by itself a grade."""
    is_short = words == 2 and _SHORT_NUMBER.fullmatch(draft.key(index + 1)) is not None
    return is_short and draft.key(index) in _GRADE_SYMBOLS


def _take_symbols_with_number(
    draft: Draft, names: NameIndex | None, places: list[int], *, is_one: bool
) -> None:
    """Take symbols with a whole number: readings where several stand or a technique is named, else a
    grade."""
    for index in places:
        symbol, number = draft.key(index), draft.key(index + 1)
        spaced = read_spaced([symbol, number])
        if spaced is None or not draft.is_free(index, index + 1):
            continue
        claim = exact(names, draft.key(index, index + 1))
        if not is_one or draft.of_kind(TokenKind.READING) or any(w.key in _TECHNIQUES for w in draft.words):
            _take_reading(draft, index, index + 1, (spaced[0],))
        elif not draft.of_kind(TokenKind.WEIGHT) and not any(
            is_number(draft.key(i)) for i in draft.free_words() if i != index + 1
        ):
            continue
        elif claim is not None:
            take_claim(
                draft, index, index + 1, claim, f" taken as grade; reading: {SYMBOLS[symbol]}={number}"
            )
        else:
            reading = f"{symbol}={number}"
            problem = (
                f"'{draft.text(index, index + 1)}': a reading is typed {reading}; no grade has that name"
            )
            draft.take(TokenKind.UNKNOWN, index, index + 1, ASKED_BACK, problem=problem, offers=(reading,))


def _take_reading(draft: Draft, first: int, last: int, values: tuple[ElementValue, ...]) -> None:
    draft.take(
        TokenKind.READING,
        first,
        last,
        ", ".join(value.meaning for value in values),
        problem="; ".join(value.problem for value in values if value.problem),
        value=values,
    )


def _take_reserved(draft: Draft, names: NameIndex | None) -> None:
    """Take the reserved words and phrases, and what is understood and says nothing of the metal."""
    for first in draft.free_words():
        for length in range(draft.free_run(first, LONGEST_PHRASE), 0, -1):
            last = first + length - 1
            key = draft.key(first, last)
            if not is_literal(key) and (claim := exact(names, key)) is not None and not claim.is_usual:
                # "Armature" may be the plural of a fitting in one language; it is a name in another.
                continue
            word = reserved(key)
            if word is not None:
                draft.take(word.kind, first, last, word.meaning, value=word.value)
                break
            if (said := remark(key)) is not None and not _is_thing(names, key):
                shown = draft.text(first, last) if said == JOINS else said
                draft.take(TokenKind.REMARK, first, last, f"said: {shown}")
                break


def _is_thing(names: NameIndex | None, key: str) -> bool:
    """Return True for what the dictionary knows as a thing: a name for it says more than a remark."""
    claim = exact(names, key)
    # Just as it stands: no plural that is guessed at.
    is_stated = names is not None and names.has(key)
    return claim is not None and claim.is_usual and (is_stated or not is_literal(key))


_WEIGHT_WITH_TENTHS = re.compile(r"[0-9]{3}[.,][0-9]")
"""What a scale shows, before it is the number of a casting: "356.0" by itself."""


_MAY_BE_NUMBER = re.compile(r"[0-9]{3,6}|[0-9][.,][0-9]{3,5}")
"""What may be a slip for the number of a grade: "12.9" is none."""


def _take_bare_numbers(draft: Draft, names: NameIndex | None, yard: YardWords | None) -> None:
    """Take each bare number as the weight, the name of a grade, or one number too many."""
    numbers = [index for index in draft.free_words() if is_number(draft.key(index))]
    if not numbers:
        return
    grades = {index: exact_number(names, draft.key(index)) for index in numbers}
    has_weight = bool(draft.of_kind(TokenKind.WEIGHT))
    weight: int | None = None
    if not has_weight:
        weight = next((index for index in numbers if grades[index] is None), numbers[0])
        is_named = grades[weight] is not None and not _WEIGHT_WITH_TENTHS.fullmatch(draft.key(weight))
        if len(numbers) == 1 and is_named and not draft.of_kind(TokenKind.CLAIM):
            weight = None
    for index in numbers:
        claim = grades[index]
        if index == weight:
            take_weight(draft, index, index, yard)
        elif claim is not None:
            unit = "kg" if yard is None else yard.weight_unit.replace("short ton", "ston")
            is_only = not has_weight and weight is None
            hint = f" taken as grade; weight: {draft.key(index)}{unit}" if is_only else ""
            take_claim(draft, index, index, claim, hint)
        else:
            near = (
                names.near(draft.key(index)) if names and _MAY_BE_NUMBER.fullmatch(draft.key(index)) else ()
            )
            problem = f'a count is typed x3, a grade #304: "{draft.text(index)}" would be a second weight'
            draft.take(TokenKind.UNKNOWN, index, index, "not understood", problem=problem, offers=near)


_SEVERAL_POINTS = re.compile(r"[0-9]+(?:[.,][0-9]*){2,}")
"""A number that a finger slipped in; a date or a version is none either."""


def _take_the_rest(draft: Draft, names: NameIndex | None) -> None:
    for index in draft.free_words():
        typed, key = draft.text(index), draft.key(index)
        offers: tuple[str, ...] = ()
        if not key.startswith(FORCED) and (end := known_end(names, key)) is not None:
            ask = f"{end.label.split(',')[0]}, of {' or '.join(end.offers)}?"
            take_claim(draft, index, index, replace(end, ask=ask))
            continue
        if key.startswith(FORCED):
            problem = f"'{typed[1:]}' is not the name of a grade in the library"
        elif _SEVERAL_POINTS.fullmatch(key):
            problem = f"type a number with one point or comma, as 12.4: '{typed}' has several"
        else:
            offers = (*slipped_points(key), *near_words(names, key))
            problem = why_no_reading(key) or f"'{typed}' not understood"
            problem += f": {', '.join(offers)}?" if offers else ""
        draft.take(TokenKind.UNKNOWN, index, index, "not understood", problem=problem, offers=offers)
