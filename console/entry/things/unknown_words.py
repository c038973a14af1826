"""Unknown words beside a known name: a metal or thing that is named is not kept up by what else it is
called."""

from collections.abc import Collection

from rapidfuzz.distance import OSA

from console.entry.claims import exact
from console.entry.draft import Draft, Mark
from console.entry.token_kind import KEPT, TokenKind
from console.entry.vocabulary import remark, reserved
from grade_library.facts import Claim
from grade_library.naming.name_text import plain
from grade_library.naming.names import NameIndex
from grade_library.naming.trade_words import NOUN_FIRST

_MAKES_DOUBT = frozenset(
    {
        *("coloured", "colored", "colour", "effect", "look", "lookalike", "style", "imitation"),
        *("fake", "faux", "finish", "bottom", "bottomed", "oxide", "sulphate", "sulfate"),
        *("chloride", "pencil", "beech", "birch", "maiden", "age", "toned", "like", "instead"),
        *("not", "or", "maybe", "perhaps", "statt", "anstatt", "nicht", "kein", "keine", "oder"),
        *("wie", "vielleicht", "farben", "optik", "imitat", "oxid", "sulfat", "aspect", "imite"),
        *("facon", "pas", "ou", "comme", "peut", "imitacion", "tipo", "aspecto", "quizas", "como"),
        *("imitazione", "finto", "finta", "effetto", "non", "forse", "oppure", "come"),
    }
)
"""Words beside the name of a metal that may make it none, or another: "brass effect", "not lead"."""


_SHORTEST = 4
"""Fewer letters are an abbreviation, or the rest of one."""
_VERY_LIKE = 0.8
"""Least likeness (0..1) at which a form is asked for: "sheeet" is sheet (0.83), "bean" no beam (0.75)."""


def keep_unknown_words(draft: Draft, names: NameIndex | None, codes: Collection[str]) -> None:
    """Keep words that nobody knows as a note where the line names a metal or thing: "stainless widget".

    Asked still is a word beside the number of a grade, which it may belong to, one that may be a slip for a
    bay, a name or a surface, that may make the metal none, that stands where the piece itself is named
    ("baler twine"), and more than one.
    """
    named = [
        mark
        for mark in draft.marks
        if isinstance(mark.value, Claim)
        and mark.value.is_exact
        and not any(map(str.isdigit, draft.key(mark.first, mark.last)))
    ]
    unknown = [mark for mark in draft.of_kind(TokenKind.UNKNOWN) if mark.value is None]
    if not named or len(unknown) > 1:
        return
    for mark in unknown:
        if any(_is_piece(draft, mark, thing) for thing in named):
            continue
        key = plain(draft.key(mark.first))
        may_be_bay = any(OSA.distance(key, code) <= 1 for code in codes)
        if _is_mere_word(draft, mark) and not may_be_bay and not _may_be_slip(draft, mark, names):
            draft.change(mark, kind=TokenKind.REMARK, meaning=KEPT)


def _is_piece(draft: Draft, mark: Mark, named: Mark) -> bool:
    """Return True where a word beside the name of a thing names the piece, and the thing what it is part of.

    It stands behind the thing in English and German, before it in the other languages.
    """
    if not (named.value.is_usual or named.value.material_ids):
        return False
    if named.value.tongue not in NOUN_FIRST:
        return mark.first == named.last + 1
    between = range(mark.last + 1, named.first)
    return mark.last < named.first and all(remark(draft.key(index)) == "joins" for index in between)


def _is_mere_word(draft: Draft, mark: Mark) -> bool:
    """Return True for one word of letters that says nothing against a metal beside it."""
    key = plain(draft.key(mark.first))
    is_word = mark.first == mark.last and len(key) >= _SHORTEST and key.replace("-", "").isalpha()
    return is_word and key not in _MAKES_DOUBT


def _may_be_slip(draft: Draft, mark: Mark, names: NameIndex | None) -> bool:
    """Return True where an offer names metal or what was found of it, or is a form that is very like."""
    typed = plain(draft.key(mark.first))
    for offer in mark.offers:
        claim, word = exact(names, offer), reserved(offer)
        if claim is not None and not claim.is_usual:
            return True
        if word is not None and (
            word.kind is not TokenKind.FORM or OSA.normalized_similarity(typed, plain(offer)) >= _VERY_LIKE
        ):
            return True
    return False
