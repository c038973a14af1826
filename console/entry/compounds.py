"""German joins a metal and a form to one word: "Messingspäne" is Messing and Späne."""

import functools
from collections.abc import Iterator

from console.entry.claims import exact
from console.entry.splitting import Word
from console.entry.token_kind import TokenKind
from console.entry.vocabulary import remark, reserved
from grade_library.naming.names import NameIndex

_SHORTEST_WORD = 7
_SHORTEST_PART = 3
"""Shorter ends of a word are no word of their own: "rod" in "period" says nothing."""
_SHORT_METALS = ("alu", "tin")
_SCRAP = "no metal named"
"""Remark of the words for scrap."""
_WHERE_FROM = "where from"
"""Remark of the words for what a piece was part of: "Fahrradrahmen"."""
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
                if is_kind(names, first) and _is_metal(names, tail):
                    return place, len(link)
                if remark(first) == _WHERE_FROM and is_kind(names, tail):
                    return place, len(link)
    return None


def _is_metal(names: NameIndex, part: str) -> bool:
    """Return True for a word that names metal by itself, and no thing."""
    claim = exact(names, part) if len(part) > _SHORTEST_PART or part in _SHORT_METALS else None
    return claim is not None and not (claim.material_ids or claim.ask or claim.is_usual)


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
    return remark(tail) == _SCRAP and exact(names, first) is not None
