"""Cuts an entry line into words with their places; nothing is lost between them."""

import re
from dataclasses import dataclass, replace
from itertools import pairwise

from console.ground.scanned import PREFIX, without_prefix

LONGEST_LINE = 1000
"""Most characters that are looked at; the rest is kept as one stretch that is not understood."""

LONGEST_SYMBOL = 2
"""Letters before a colon that may be the symbol of an element; more are a word with a colon behind it."""

_WORD = re.compile(r"\S+")
_ELIDED = re.compile(r"^(?:d|l|dell|all|dall|nell|sull)['\u2019](?=[^\W\d_])")
"""An article or "of" that French and Italian write onto the next word: "d'étain" is étain."""
_ABOUT = re.compile(r"[~≈][0-9.,]")
"""Before a figure: what a scale shows is about right as well."""
_UNIT_WITH_POINT = re.compile(r"[0-9][0-9.,]*[a-z]+\.")
_SLASHES = re.compile(r"/{1,2}")
# A slash inside a word starts a shot only where a reading follows ("ni8.1/cr18"); "bar/rod" stays whole.
_SLASH_BEFORE_READING = re.compile(r"/{1,2}(?=[A-Za-z]{1,2}[=<:]?[0-9.,])")


_NOTE = re.compile(r"(?<![0-9%]);|;(?!\s*[A-Za-z]{1,2}\s?[=:]?[0-9]{0,3}[.,][0-9])")
"""What begins a note; between readings the same sign parts them: "cr18.2; ni8.1"."""


_SHORT = {"w/": "with", "w/o": "without"}
"""Short for a word that joins; the slash begins no shot."""
_TUNGSTEN = "w"
"""Short for "with" as well, where more than a symbol stands on either side of it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Word:
    """One stretch without blanks."""

    start: int
    end: int
    text: str
    """As typed."""
    key: str
    """Case-folded, without the commas of a list or a colon at its end, a scanner's prefix and an elided
    article: what is looked up."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SplitLine:
    """An entry line in parts."""

    words: tuple[Word, ...]
    note: Word | None
    """Everything from the first ";" on that no reading follows, with it."""
    overflow: Word | None
    """What lies beyond LONGEST_LINE."""


def split_line(line: str) -> SplitLine:
    """Return the words of a cleaned line, its note, and what is too much.

    >>> [word.text for word in split_line("12.4kg 304, cr18.2/ni8 ; from the fence").words]
    ['12.4kg', '304,', 'cr18.2', '/', 'ni8']
    """
    body = line[:LONGEST_LINE]
    overflow = _stretch(line, LONGEST_LINE, len(line))
    cut = next((mark.start() for mark in _NOTE.finditer(body)), -1)
    note = None
    if cut >= 0:
        # A note may be long: it is text to keep, not words to look up.
        note, overflow = _stretch(line, cut, len(line)), None
        body = body[:cut]
    words: list[Word] = []
    for match in _WORD.finditer(body):
        words.extend(_split_at_slashes(match.group(), match.start()))
    return SplitLine(words=_with_joined(words), note=note, overflow=overflow)


def _with_joined(words: list[Word]) -> tuple[Word, ...]:
    """Return the words with "w" read as "with" between two others: "bucket w handle", and not "12 w"."""
    joined = list(words)
    for place, word in enumerate(words[1:-1], start=1):
        before, after = words[place - 1].key, words[place + 1].key
        is_between = (place > 1 or before.isalpha()) and after.isalpha() and len(after) > LONGEST_SYMBOL
        if word.key == _TUNGSTEN and is_between:
            joined[place] = replace(word, key=_SHORT["w/"])
    return tuple(joined)


def _stretch(line: str, start: int, end: int) -> Word | None:
    """Return line[start:end] without blanks at its ends, None when it is blank."""
    text = line[start:end]
    stripped = text.strip()
    if not stripped:
        return None
    first = start + len(text) - len(text.lstrip())
    return Word(start=first, end=first + len(stripped), text=stripped, key=stripped.casefold())


def _split_at_slashes(text: str, start: int) -> list[Word]:
    """Return the parts of one blank-free stretch, cut at the slashes that start a shot."""
    if (short := _SHORT.get(text.casefold())) is not None:
        return [Word(start=start, end=start + len(text), text=text, key=short)]
    cuts: set[int] = set()
    lead = _SLASHES.match(text)
    if lead and lead.end() < len(text) and text[lead.end()] != "/":
        cuts.add(lead.end())
    for match in _SLASH_BEFORE_READING.finditer(text):
        cuts.update((match.start(), match.end()))
    # A label scanned onto a line that ends without a blank is a word of its own.
    cuts.update(match.start() for match in PREFIX.finditer(text))
    trimmed = text.rstrip("/")
    if trimmed and len(text) - len(trimmed) in (1, 2):
        cuts.add(len(trimmed))
    edges = [0, *sorted(cuts - {0, len(text)}), len(text)]
    return [_word(text[a:b], start + a) for a, b in pairwise(edges)]


def _word(text: str, start: int) -> Word:
    key = without_prefix(text.rstrip(",;") or text).casefold()
    if _ABOUT.match(key):
        key = key[1:]
    if _UNIT_WITH_POINT.fullmatch(key):
        key = key[:-1]
    if len(key) > LONGEST_SYMBOL + 1 and key.endswith(":") and key[:-1].isalpha():
        key = key[:-1]
    return Word(start=start, end=start + len(text), text=text, key=_ELIDED.sub("", key))
