"""What a sorter leaves out in a run of readings, written out: symbols in their usual order, the technique.

Text to text: the line that is kept says all of it, whatever was read before.
"""

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from console.entry.compounds import split_run_on
from console.entry.parse import parse_line
from console.entry.splitting import Word, split_line
from console.entry.token_kind import TokenKind
from console.entry.yard_words import YardWords, bay_codes
from console.ground.mass import NUMBER, is_number
from console.readings.element_readings import SYMBOLS, is_symbol_and_whole_number
from grade_library.grade import Grade
from grade_library.naming.names import NameIndex
from grade_library.technique import FALLBACK, profiles

GradeById = Callable[[str], Grade]

VALUES = "="
"""Before the first value of a reading without symbols."""
NOT_READ = "-"
"""In place of a value: the element in this place was not read."""
_SURER = "lab"
"""An analysis is no shot: who says it, says it each time."""
_BASE_LAST = frozenset({"Fe", "Al"})
"""Bases that say nothing of the metal: what steel and aluminium are told apart by stands before (our own
choice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Habit:
    """How the last reading of the run was typed."""

    elements: tuple[str, ...] = ()
    """Symbols in the order typed; empty before the first reading."""
    technique: str = ""
    earlier: tuple[tuple[str, ...], ...] = ()
    """Orders of readings before it that began with other symbols, one for each, the newest first."""

    def after(self, before: "Habit") -> "Habit":
        """Return this habit with what is still known of the one before it."""
        known = (before.elements, *before.earlier)
        first = self.elements[:1]
        return replace(self, earlier=tuple(one for one in known if one and one[:1] != first))

    def order_from(self, symbol: str) -> tuple[str, ...]:
        """Return the order of the newest reading that began with a symbol; empty where none did."""
        orders = (self.elements, *self.earlier)
        return next((one for one in orders if one[:1] == (symbol,)), ())


def spelled_out(
    line: str,
    habit: Habit,
    *,
    names: NameIndex | None,
    yard: YardWords | None,
    grade: GradeById,
    repeats_technique: bool = True,
) -> str:
    """Return the line with symbols before values that have none, and with the technique of the last reading.

    Args:
        line: As typed. Values without symbols follow on "=": in the order of the metal that the line names,
            else of the last reading. "-" stands for one that was not read. A symbol before the first value
            takes the order of the last reading that began with it; before another, the order goes on there.
        habit: How the last reading was typed.
        names: Names of the grades.
        yard: Its techniques, and the usual one.
        grade: Gives a grade by its id.
        repeats_technique: A reading that names no technique is by that of the last reading; an analysis
            (lab) is never repeated.

    >>> habit = Habit(elements=("Cr", "Ni", "Fe"))
    >>> spelled_out("8=18.2 8.1 71 m0", habit, names=None, yard=None, grade={}.__getitem__)
    '8 cr=18.2 ni=8.1 fe=71 m0'
    >>> spelled_out("8=cr18.2 8.1 cu.3", habit, names=None, yard=None, grade={}.__getitem__)
    '8 cr=18.2 ni=8.1 cu=.3'
    """
    line = _with_symbols(line, habit, names, yard, grade) if VALUES in line else line
    return _with_technique(line, habit, names, yard) if repeats_technique else line


def habit_of(line: str, *, names: NameIndex | None, yard: YardWords | None) -> Habit | None:
    """Return how the reading of a line was typed; None where it holds none."""
    facts = parse_line(line, names=names, yard=yard).facts
    if not facts.shots:
        return None
    typed = _typed_symbols(split_line(line).words)
    reading = facts.shots[0].reading
    read = {*reading.values, *reading.below}
    return Habit(
        elements=tuple(dict.fromkeys(one for one in typed if one in read)), technique=reading.technique
    )


def _typed_symbols(words: Sequence[Word]) -> Iterator[str]:
    """Yield the symbols of the words up to the second shot, in the order typed."""
    for word in words:
        letters = "".join(one if one.isalpha() else " " for one in word.key).split()
        yield from (SYMBOLS[one] for one in letters if one in SYMBOLS)


_WITH_SYMBOL = re.compile(rf"([a-z]{{1,2}})({NUMBER})")
_READING = re.compile(rf"(?:[a-z]{{1,2}}{NUMBER})+")


def _with_symbols(
    line: str, habit: Habit, names: NameIndex | None, yard: YardWords | None, grade: GradeById
) -> str:
    words = split_run_on(split_line(line).words, names, bay_codes(yard))
    for index, word in enumerate(words):
        weight, sign, value = word.key.partition(VALUES)
        is_begun = (is_number(value) or has_symbols(value)) and (is_number(weight) or not weight)
        if not sign or not is_begun or (not weight and index and words[index - 1].key in SYMBOLS):
            continue
        values = [value, *_values_behind(words[index + 1 :])]
        end = words[index + len(values) - 1].end
        before = line[: word.start] + word.text[: len(weight)]
        rest = line[end:]
        order = _order(values[0], f"{before} {rest}", habit, names, yard, grade)
        read = _in_order(values, order)
        if read is None:
            return line
        left, right = " " if weight else "", " " if rest[:1].strip() else ""
        return _with_symbols(f"{before}{left}{' '.join(read)}{right}{rest}", habit, names, yard, grade)
    return line


def has_symbols(word: str) -> bool:
    """Tell whether a word is made of symbols with their values and nothing else."""
    return _READING.fullmatch(word) is not None and all(
        symbol in SYMBOLS for symbol, _ in _WITH_SYMBOL.findall(word)
    )


def _values_behind(words: Sequence[Word]) -> Iterator[str]:
    """Yield the values that go on; a word that could be a grade ("s7") is left to the line."""
    for word in words:
        is_value = is_number(word.key) or word.key == NOT_READ
        if not is_value and not (has_symbols(word.key) and not is_symbol_and_whole_number(word.key)):
            return
        yield word.key


def symbols_and_figures(word: str) -> list[tuple[str, str]]:
    """Return each symbol of a word that `has_symbols` knows, as typed, with its figure."""
    return _WITH_SYMBOL.findall(word)


def _in_order(values: Sequence[str], order: tuple[str, ...]) -> list[str] | None:
    """Return the values as readings; None where one has no symbol and the order none for it."""
    read: list[str] = []
    place = 0
    for value in values:
        if has_symbols(value):
            for symbol, figure in _WITH_SYMBOL.findall(value):
                read.append(f"{symbol}={figure}")
                if (known := SYMBOLS[symbol]) in order:
                    place = order.index(known) + 1
        elif place == len(order):
            return None
        else:
            if value != NOT_READ:
                read.append(f"{order[place].casefold()}={value}")
            place += 1
    return read


def _order(
    first: str,
    rest: str,
    habit: Habit,
    names: NameIndex | None,
    yard: YardWords | None,
    grade: GradeById,
) -> tuple[str, ...]:
    """Return the symbols that values without any stand for.

    Of the last reading that began with the symbol of the first value; else of the metal that the rest of the
    line names; else of the last reading, unless that does not have the symbol.
    """
    symbol = SYMBOLS[_WITH_SYMBOL.findall(first)[0][0]] if has_symbols(first) else ""
    if symbol and (order := habit.order_from(symbol)):
        return order
    facts = parse_line(rest, names=names, yard=yard).facts
    named = [grade(one) for one in sorted(facts.claim.grade_ids)] if facts.claim else []
    known, usual = (profiles(), FALLBACK) if yard is None else (yard.techniques, yard.technique)
    unseen = known[habit.technique or usual].unseen
    order = tuple(one for one in elements_of(named) if one not in unseen) if named else habit.elements
    return order if not symbol or symbol in order else ()


def elements_of(grades: Sequence[Grade]) -> tuple[str, ...]:
    """Return the elements that make up some grades, what they hold most of first; iron and aluminium last.

    An element counts with the middle of its limits, the rest with what the others leave.
    """
    content: dict[str, float] = {}
    for one in grades:
        middles = {
            symbol: ((limit.low or 0.0) + limit.high) / 2.0
            for symbol, limit in one.limits.items()
            if limit.high is not None and not limit.is_rest
        }
        rest = {symbol for symbol, limit in one.limits.items() if limit.is_rest and symbol not in middles}
        middles |= dict.fromkeys(rest, max(0.0, 100.0 - sum(middles.values())))
        for symbol, middle in middles.items():
            content[symbol] = content.get(symbol, 0.0) + middle
    bases = {one.base for one in grades} & _BASE_LAST
    return tuple(sorted(content, key=lambda symbol: (symbol in bases, -content[symbol], symbol)))


def _with_technique(line: str, habit: Habit, names: NameIndex | None, yard: YardWords | None) -> str:
    if yard is None or habit.technique in ("", yard.technique) or habit.technique not in yard.techniques:
        return line
    profile = yard.techniques[habit.technique]
    if _SURER in (profile.key, profile.works_like):
        return line
    tokens = parse_line(line, names=names, yard=yard).tokens
    first = next((token.start for token in tokens if token.kind is TokenKind.READING), None)
    if first is None or any(token.kind is TokenKind.TECHNIQUE for token in tokens):
        return line
    # Before the reading: below the line, the end of a long reading has no room.
    return f"{line[:first]}{habit.technique} {line[first:]}"
