"""Figures behind "*": values of the elements that the console asks for, one after the other.

Text to text: whoever reads the line afterwards finds each value with its symbol.
"""

import re
from collections.abc import Callable

from console.entry.compounds import split_run_on
from console.entry.editing.spelling_out import NOT_READ, has_symbols, symbols_and_figures
from console.entry.splitting import split_line
from console.ground.mass import is_number
from console.readings.element_readings import is_symbol_and_whole_number
from grade_library.naming.names import NameIndex

ASKED = "*"
"""Before figures that answer what is asked; the keypads of figures have it."""
ALONE = re.compile(r"^[^;]*(?<![a-z])(?<![a-z] )[=*] ?[0-9.,a-z-]", re.IGNORECASE)
"""A line with figures whose elements it does not name."""
_NOTE = ";"
_LAST_VALUE = re.compile(r"(?:^| )[a-z]{1,2}=[0-9.,-]+$")
_NOT_SHOWN = re.compile(r"(?:^| )([a-z]{1,2})=-(?= |$)")

Ask = Callable[[str], str]
"""A line so far -> symbol of the element that is asked for; or empty."""


def answered(line: str, ask: Ask, names: NameIndex | None, codes: frozenset[str]) -> str:
    """Return the line with the symbols of the elements that were asked for when each figure was typed.

    What stands before a figure decides what is asked, never what stands behind it: a line that is pasted
    comes to the same as one that is typed. "-" stands for an element that the analyser does not show, and
    becomes "pb=-"; a value with its symbol answers as well. A figure for which nothing is asked stays behind
    its sign.

    Args:
        line: As typed.
        ask: Names the element.
        names, codes: Of the grades, and of the bays: where a word begins that is no value.

    >>> asked = iter(["Cr", "Ni", "Mo"])
    >>> answered("8*18.2 - 2.1.s", lambda line: next(asked), None, frozenset())
    '8 cr=18.2 ni=- mo=2.1 .s'
    """
    body, sign, note = line.partition(_NOTE)
    said, star, values = body.partition(ASKED)
    if not star:
        return line
    said, end = said.rstrip(), 0
    for word in split_run_on(split_line(values).words, names, codes):
        if is_number(word.key) or word.key == NOT_READ:
            symbol = ask(said)
            if not symbol:
                return f"{said} {ASKED}{values[word.start :]}{sign}{note}".lstrip()
            said = f"{said} {symbol.casefold()}={word.key}".lstrip()
        elif has_symbols(word.key) and (not word.start or not is_symbol_and_whole_number(word.key)):
            read = (f"{symbol}={figure}" for symbol, figure in symbols_and_figures(word.key))
            said = " ".join(filter(None, (said, *read)))
        else:
            break
        end = word.end
    rest = values[end:]
    blank = " " if said and rest.strip() else ""
    rest = blank + rest.lstrip() if rest.strip() else rest
    return answered(f"{said}{rest}{sign}{note}", ask, names, codes)


def not_shown(line: str) -> frozenset[str]:
    """Return the symbols, lower case, of what the analyser does not show of the last shot on a line.

    >>> not_shown("8 cr=- / ni=8.1 mo=-")
    frozenset({'mo'})
    """
    return frozenset(_NOT_SHOWN.findall(line.rpartition("/")[2]))


def without_not_shown(line: str) -> str:
    """Return the line without what says only that something is not shown: that is no finding.

    >>> without_not_shown("8 cr=18.2 ni=- mo=2.1 ; a=-")
    '8 cr=18.2 mo=2.1 ; a=-'
    """
    body, sign, note = line.partition(_NOTE)
    return _NOT_SHOWN.sub("", body) + sign + note


def asks(line: str) -> bool:
    """Return whether the line waits for the figure of an element that is asked for.

    >>> asks("8 cr=18.2 *"), asks("8*18"), asks("8 ; *")
    (True, False, False)
    """
    return line.endswith(ASKED) and _NOTE not in line


def before(line: str) -> str:
    """Return what stands before the sign of a line that asks.

    >>> before("8 cr=18.2 *")
    '8 cr=18.2'
    """
    return line.removesuffix(ASKED).rstrip()


def goes_on(line: str, full: str) -> str:
    """Return the line that asks for the next element once a blank ended a figure; empty where none did.

    >>> goes_on("8*18.2", "8 cr=18.2"), goes_on("8*18.2.s", "8 cr=18.2 .s"), goes_on("8*18.2", "8*18.2")
    ('8 cr=18.2 *', '', '')
    """
    is_figure = not asks(line) and ASKED not in full and _LAST_VALUE.search(full) is not None
    return f"{full} {ASKED}" if is_figure else ""
