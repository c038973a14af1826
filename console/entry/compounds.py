"""Words written as one: German joins a metal and a form ("Messingspäne" is Messing and Späne), a sorter in a
hurry leaves the blank out before a sign ("8.2.e+b", "12.4stn")."""

import functools
import re
from collections.abc import Iterator, Sequence

from console.entry.claims import LONGEST_NAME, exact, exact_number
from console.entry.splitting import Word
from console.entry.things.no_metal import NO_METAL
from console.entry.token_kind import TokenKind
from console.entry.vocabulary import NO_PULL, NO_PULL_SHORT, VOCABULARY, remark, reserved
from console.ground.mass import NUMBER, UNIT_WORDS, is_number
from console.readings.element_readings import SYMBOLS, read_glued
from grade_library.facts import Claim
from grade_library.naming.name_text import plain
from grade_library.naming.names import NameIndex
from grade_library.naming.trade_words import NOUN_FIRST

_SHORTEST_WORD = 7
_SHORTEST_PART = 3
_SHORTEST_END = 5
"""Shorter ends of a word are no word of their own: "rod" in "period" says nothing."""
_SHORT_METALS = ("alu", "tin", "blei", "zink", "zinn", "gold", "lead", "zinc", "iron", "guss", "holz")
_SHORTEST_METAL = 5
"""Other names of metals with fewer letters begin other words: "complot" is no composition metal."""
_SCRAP = ("no metal named", "offcuts")
"""Remarks of the words for scrap."""
_WHERE_FROM = "where from"
"""Remark of the words for what a piece was part of: "Fahrradrahmen"."""
_HEADS = frozenset(
    {
        *("kaffee", "cola", "bier", "milch", "wein", "tee", "zelt", "camping", "wasser", "gas", "strom"),
        *("kinder", "hunde", "katzen", "vogel", "kohle", "kohlen", "blumen", "schul", "buro", "bade"),
        *("dusch", "keller", "hof", "stall", "weide", "feld", "wald", "strassen", "bahn", "hand", "fuss"),
        *("wand", "boden", "decken", "umwalz", "umwaelz", "heizungs", "kuhl", "gefrier", "back", "brat"),
        *("koch", "wasch", "putz", "mal", "nah", "schreib", "gaste", "wohn", "schlaf", "nacht", "puppen"),
        *("werk", "reit", "pferde", "kuh", "schweine", "huhner", "angel", "jagd", "tauch", "sport", "spiel"),
        *("musik", "foto", "computer", "drucker", "fernseh", "einkaufs", "gepack", "post", "zeitungs"),
        *("suppen", "salat", "eis", "obst", "gemuse", "fisch", "fleisch", "brot", "kuchen", "butter"),
    }
)
"""What German joins before a thing to say what it is for, plain letters: "Coladose", "Umwälzpumpe"."""
_LINKS = ("s", "n", "en", "-")
"""What may stand between the parts."""


def split_compounds(words: tuple[Word, ...], names: NameIndex | None) -> tuple[Word, ...]:
    """Return the words with those cut in two that are known only in two parts, one of them a metal."""
    return tuple(part for word in words for part in _parts(word, names))


def _parts(word: Word, names: NameIndex | None) -> Iterator[Word]:
    cut = None if names is None or not _may_be_two(word.key) else _cut(names, word.key)
    if cut is None:
        yield word
        return
    head, rest = cut
    middle = word.start + head
    yield Word(start=word.start, end=middle, text=word.text[:head], key=word.key[: head - rest])
    yield Word(start=middle, end=word.end, text=word.text[head:], key=word.key[head:])


def _may_be_two(key: str) -> bool:
    return len(key) >= _SHORTEST_WORD and key.replace("-", "").isalpha()


@functools.lru_cache(maxsize=4096)
def _cut(names: NameIndex, key: str) -> tuple[int, int] | None:
    """Return where the second part begins and how long the link before it is; None for a word that is one.

    A form goes before another word, parts that meet without a link before others, then the longest first
    part: "stahlrohr" is Stahl and Rohr, "titanspäne" Titan and Späne.
    """
    if reserved(key) is not None or remark(key) is not None or exact(names, key) is not None:
        return None
    for is_kind in (_is_form, _is_remark_or_asked):
        for link in ("", *_LINKS):
            for place in range(len(key) - _SHORTEST_PART, _SHORTEST_PART - 1, -1):
                head, tail = key[:place], key[place:]
                first = head.removesuffix(link)
                if (link and first == head) or len(first) < _SHORTEST_PART:
                    continue
                if (is_kind(names, tail) or _is_thing(names, tail)) and (
                    _is_metal(names, first) or _is_thing_as_scrap(names, first, tail)
                ):
                    return place, len(link)
                if is_kind(names, first) and _is_metal(names, tail, is_of_metal=True):
                    return place, len(link)
                is_head = remark(first) == _WHERE_FROM or plain(first) in _HEADS
                if (
                    is_head
                    and not _is_of_noun_first(names, tail)
                    and (is_kind(names, tail) or _is_thing(names, tail))
                ):
                    return place, len(link)
    return None


def _is_of_noun_first(names: NameIndex, part: str) -> bool:
    """Return True for a word of a language that joins no words: "carrete" is no net of a car."""
    claim = exact(names, part)
    return claim is not None and claim.tongue in NOUN_FIRST


def known_end(names: NameIndex | None, key: str) -> Claim | None:
    """Return the German thing with which an unknown word ends, to be asked: "Tanzkette" is some chain."""
    if names is None or not _may_be_two(key):
        return None
    for place in range(_SHORTEST_PART, len(key) - _SHORTEST_END + 1):
        claim = exact(names, key[place:])
        if claim is not None and claim.is_usual and claim.tongue == "de" and names.has(key[place:]):
            return claim
    return None


def _is_metal(names: NameIndex, part: str, *, is_of_metal: bool = False) -> bool:
    """Return True for a word that names metal by itself, or wood or plastic, and no thing."""
    is_short = len(part) < _SHORTEST_METAL
    claim = None if is_short and part not in _SHORT_METALS else exact(names, part)
    if claim is None or claim.ask or claim.is_usual:
        return False
    return not claim.material_ids or (not is_of_metal and not NO_METAL.isdisjoint(claim.material_ids))


def _is_form(names: NameIndex, part: str) -> bool:
    """Return True for a word that says what the piece is, or how it looks."""
    word = reserved(part)
    return word is not None and word.kind in (TokenKind.FORM, TokenKind.SURFACE, TokenKind.HEFT)


def _is_remark_or_asked(names: NameIndex, part: str) -> bool:
    """Return True for a word that says nothing of the metal, asks for it, or names a thing: "Dachrinne"."""
    if reserved(part) is not None or remark(part) is not None:
        return reserved(part) is None
    claim = exact(names, part) if len(part) > _SHORTEST_PART else None
    return claim is not None and (bool(claim.ask) or claim.is_usual)


def _is_thing(names: NameIndex, part: str) -> bool:
    """Return True for the name of a thing, which a metal may stand before: "Kupferboiler"."""
    claim = exact(names, part) if len(part) > _SHORTEST_PART else None
    return claim is not None and bool(claim.material_ids)


def _is_thing_as_scrap(names: NameIndex, first: str, tail: str) -> bool:
    """Return True where the second part says only that it is scrap: "Kabelschrott" is a cable still."""
    return remark(tail) in _SCRAP and exact(names, first) is not None


_NO_SCRAP = frozenset({"kr", "sr"})
"""Krypton and strontium: nobody means them where a colour can stand."""
_SHORT = {
    row.short for row in VOCABULARY if len(row.short) <= 2 and row.short not in frozenset(SYMBOLS) - _NO_SCRAP
}
"""Short forms that stand right behind another word; "sn" is tin rather."""
_SHORT_FORM = "|".join(re.escape(short) for short in sorted(_SHORT, key=len, reverse=True))
_IN_RUN = rf"{_SHORT_FORM}|{re.escape(NO_PULL)}"
_RUN_ON = re.compile(rf"(.*?)((?:{_IN_RUN})+)", re.DOTALL)
_NUMBER_BEHIND = re.compile(rf"(.*?)((?:{_IN_RUN})*(?:{_SHORT_FORM})(?<=[a-z]))([0-9][\w.+?-]+)", re.DOTALL)
"""A grade that begins with a figure, right behind a form that ends with a letter: ".s304"."""
_SEVERAL = re.compile(rf"(?:{_SHORT_FORM}){{2,}}")
_UNIT = rf"(?:{'|'.join(UNIT_WORDS)})?"
_WEIGHT = re.compile(rf"{NUMBER}{_UNIT}(?:-{NUMBER}{_UNIT})?")
"""A tare may stand behind it."""
_WITH_WORD = re.compile(rf"({NUMBER})([^\W\d_][\w-]+)")
_VALUES = re.compile(rf"(?:{NUMBER})?[=*][a-z0-9.,]+")
_COUNTING = frozenset({"pc", "pcs", "piece", "pieces", "off", "no"})
_BEHIND_NAMES = "." + NO_PULL
_SIGNS = ".+?"
"""A short form that begins so ends a name; one that begins with m or z ends a reading too."""


def split_run_on(words: tuple[Word, ...], names: NameIndex | None, codes: frozenset[str]) -> tuple[Word, ...]:
    """Return the words with those cut apart in which a blank was left out before a short form or a bay.

    A word that means something as it stands is never cut, and one is cut only where its parts are what they
    would be with blanks between them.

    Args:
        words: Of the line.
        names: Names of the grades; None knows none.
        codes: Codes of the yard's bays, case-folded.

    >>> from console.entry.splitting import split_line
    >>> words = split_line("12.4.e+b 3cub m0kd cr18.2.s").words
    >>> [word.text for word in split_run_on(words, None, frozenset({"cub"}))]
    ['12.4', '.e', '+b', '3', 'cub', 'm0', 'kd', 'cr18.2', '.s']
    >>> [word.key for word in split_run_on(split_line("2.4.b- 304 - 64-28").words, None, frozenset())]
    ['2.4', '.b', 'm0', '304', '-', '64-28']
    """
    keys = [word.key for word in words]
    return tuple(
        part for index, word in enumerate(words) for part in _apart(word, keys[index + 1 :], names, codes)
    )


def _apart(
    word: Word, behind: Sequence[str], names: NameIndex | None, codes: frozenset[str]
) -> Iterator[Word]:
    is_as_typed = len(word.key) == len(word.text) and word.key == word.text.casefold()
    parts = _pieces(word.key, names, codes) if is_as_typed else ()
    if len(parts) == 1 and behind and (long := _WITH_WORD.fullmatch(word.key)) is not None:
        number, first = long.groups()
        phrases = (" ".join((first, *behind[:count])) for count in range(1, LONGEST_NAME))
        if any(_is_only_a_name(number, phrase, names) for phrase in phrases):
            parts = (number, first)
    if len(parts) < 2:
        yield word
        return
    first = 0
    for key in parts:
        last = first + len(key)
        said = NO_PULL_SHORT if key == NO_PULL else key
        yield Word(start=word.start + first, end=word.start + last, text=word.text[first:last], key=said)
        first = last


@functools.lru_cache(maxsize=4096)
def _pieces(key: str, names: NameIndex | None, codes: frozenset[str]) -> tuple[str, ...]:
    """Return the parts of a word; the word alone where it is one."""
    run_on = None if key.startswith(NO_PULL) else _RUN_ON.fullmatch(key)
    if run_on is not None and (cut := _before_names(run_on[1], run_on[2], names)) is not None:
        return (*_pieces(run_on[1], names, codes), *re.findall(_IN_RUN, run_on[2])) if cut else (key,)
    is_one_word = key.isalpha() and _SEVERAL.fullmatch(key) is None
    if is_one_word or is_number(key) or key in codes or _is_known(key, names):
        return (key,)
    if run_on is not None and _may_end(run_on[1], run_on[2][0], names, codes):
        begun = _pieces(run_on[1], names, codes) if run_on[1] else ()
        return (*begun, *re.findall(_IN_RUN, run_on[2]))
    numbered = _NUMBER_BEHIND.fullmatch(key)
    if numbered is not None and _may_end(numbered[1], numbered[2][0], names, codes):
        number, *more = _pieces(numbered[3], names, codes)
        if _is_name(number, names):
            begun = _pieces(numbered[1], names, codes) if numbered[1] else ()
            return (*begun, *re.findall(_IN_RUN, numbered[2]), number, *more)
    with_word = _WITH_WORD.fullmatch(key)
    if with_word is not None and (
        _is_only_a_bay(with_word[2], codes) or _is_only_a_name(with_word[1], with_word[2], names)
    ):
        return (with_word[1], with_word[2])
    return (key,)


def _before_names(head: str, run: str, names: NameIndex | None) -> bool | None:
    """Tell whether a word is cut before its short forms, whatever name it is as a whole: "6.1.s" is no 61S,
    "5?" no titanium of grade 5, "s235.b" no grade of its own. None where that is for the names to say.
    """
    is_named = _is_name(head, names)
    if is_named and run[0] in _BEHIND_NAMES:
        return _ends_name(head, run)
    if _WEIGHT.fullmatch(head) and run[0] in _SIGNS + NO_PULL and not (is_named and run[0] == "+"):
        return True
    return None


def _is_name(head: str, names: NameIndex | None) -> bool:
    """Tell whether the beginning of a word is a name, and no weight."""
    return (exact_number if is_number(head) else exact)(names, head) is not None


def _ends_name(head: str, run: str) -> bool:
    """Tell whether short forms can stand behind a name: a temper ("-h3") belongs to it, and German leaves out
    the second half of a word so ("Kupfer- und Messingrohr")."""
    return run[0] == "." or (run[0] == NO_PULL and run[1:2] != "h" and not head.isalpha())


def _is_known(key: str, names: NameIndex | None) -> bool:
    """Tell whether a word means something as it stands."""
    return reserved(key) is not None or bool(read_glued(key)) or exact(names, key) is not None


def _may_end(head: str, sign: str, names: NameIndex | None, codes: frozenset[str]) -> bool:
    """Tell whether a word may end where a short form with this sign begins."""
    if not head or _WEIGHT.fullmatch(head):
        return True
    if sign in _SIGNS + "mz" and (read_glued(head) or _VALUES.fullmatch(head)):
        return True
    if sign not in _SIGNS:
        return False
    return head.removeprefix("@") in codes or _is_known(head, names) or len(_pieces(head, names, codes)) > 1


def _is_only_a_bay(word: str, codes: frozenset[str]) -> bool:
    """Tell whether a word behind a number is a bay and no unit, count or element."""
    return word in codes and word not in UNIT_WORDS and word not in _COUNTING and word not in SYMBOLS


def _is_only_a_name(number: str, phrase: str, names: NameIndex | None) -> bool:
    """Tell whether the words behind a number are a name or a word of the line, and the number no grade.

    "304tube" is no 304 kg, "5in" a size and "5ti64" may be a reading that was begun: none is cut.
    """
    first = phrase.partition(" ")[0]
    if first in _COUNTING or first in SYMBOLS or read_glued(first):
        return False
    if exact_number(names, number) is not None or (first.isalpha() and len(first) < _SHORTEST_PART):
        return False
    return reserved(phrase) is not None or exact(names, phrase) is not None
