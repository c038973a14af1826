"""Names of metals on an entry line: which words name one, exactly or nearly."""

import functools
import re
from dataclasses import replace

from rapidfuzz import process
from rapidfuzz.distance import OSA

from console.entry.draft import Draft
from console.entry.token_kind import ASKED_BACK, TokenKind
from console.entry.vocabulary import BY_WORD, REMARK_BY_WORD, remark, reserved
from console.ground.mass import as_fraction, is_number
from console.readings.element_readings import SYMBOLS
from grade_library.cautions import all_cautions
from grade_library.elements import ELEMENTS
from grade_library.facts import Claim
from grade_library.naming.name_text import lookalike, plain
from grade_library.naming.names import NameIndex
from grade_library.naming.slips import LIKE_ENOUGH, MOST_OFFERS, begins_alike

LONGEST_NAME = 6
"""Most words in one name."""
CLOSE_ENOUGH = 80.0
"""Least likeness (0..100) at which a name, or a reserved word in a suggestion, stands for what was typed."""
SURELY_MEANT = 90.0
"""Least likeness at which a near name may swallow a word that is a name by itself."""
FORCED = "#"
"""Before a word: it is a name whatever else it could be ("#m2" is the tool steel)."""
_GRADE_NUMBER = re.compile(r"[0-9]{3,5}|[0-35][.,][0-9]{4}|[1-8][0-9]{2}[.,][0-2]")
_MATERIAL_NUMBER = re.compile(r"[0-3] [0-9]{4}")
"""A material number with a blank at the place of the point."""
_JOINS = "joins"
"""What `remark` says of a word that only joins: in "lavello in acciaio inox" no part of a name."""
_FULL_PCT = 100.0
"""No reading lies above it [wt %]: "C 36000" is a brass."""
_LEAST_LETTERS = 4
"""Fewer letters than this are no word whose slip could be guessed at."""
_SUGGESTED = [word for word in BY_WORD if len(word) >= 3 and " " not in word]


def bare_of(text: str) -> str:
    """Return only the letters and digits, case-folded.

    >>> bare_of("EN AW-6061 T6")
    'enaw6061t6'
    """
    return "".join(letter for letter in plain(text) if letter.isalnum())


@functools.lru_cache(maxsize=4096)
def _resolve(names: NameIndex, phrase: str) -> Claim | None:
    """Return what the phrase names. Remembered, since a line is read again at every key."""
    return names.resolve(phrase)


@functools.lru_cache(maxsize=4096)
def _exact(names: NameIndex, phrase: str) -> Claim | None:
    return names.exact(phrase)


def exact(names: NameIndex | None, phrase: str) -> Claim | None:
    """Return the claim when the phrase is a name as it stands."""
    if names is None or not bare_of(phrase):
        return None
    claim = _exact(names, phrase)
    if claim is None and phrase in SYMBOLS:
        # "cu" for copper: a symbol without a number is the metal itself.
        claim = _exact(names, ELEMENTS[SYMBOLS[phrase]].name)
    words = phrase.split()
    symbols = [word in SYMBOLS for word in words]
    if claim is None and any(symbols) and not all(symbols) and all(map(str.isalpha, words)):
        # "cu tube" is what "copper tube" is: one thing said in two words gets one answer.
        claim = _exact(names, " ".join(map(_in_full, words)))
    return claim


def _in_full(word: str) -> str:
    """Return the name of an element for its symbol, any other word as it is."""
    return ELEMENTS[SYMBOLS[word]].name if word in SYMBOLS else word


def exact_number(names: NameIndex | None, number: str) -> Claim | None:
    """Return the claim of a bare number: three to five figures, a material number such as 1.4301, or a
    casting's such as 356.0.

    Shorter ones ("5" for a titanium grade) are weights far more often; "#5" names the grade.
    """
    return exact(names, number) if _GRADE_NUMBER.fullmatch(number) else None


def close(names: NameIndex | None, phrase: str) -> tuple[Claim, float] | None:
    """Return the claim that is nearly what was typed, with its likeness; None below CLOSE_ENOUGH."""
    typed = bare_of(phrase)
    if names is None or len(typed) < 3:
        return None
    claim = _resolve(names, phrase)
    if claim is None:
        return None
    letters = sum(sign.isalpha() for sign in typed)
    if not claim.is_exact and letters < _LEAST_LETTERS and lookalike(phrase) is None:
        # "cr182" is no slip for C18200: what is hardly a word is asked, not taken.
        return None
    likeness = 100.0 if claim.is_exact else _likeness(names, phrase, claim)
    return (claim, likeness) if likeness >= CLOSE_ENOUGH else None


@functools.lru_cache(maxsize=4096)
def _likeness(names: NameIndex, phrase: str, claim: Claim) -> float:
    """Return how like the typed phrase is to the name that was meant, 0..100.

    A slip in a figure makes another grade, so names with other figures are not like it at all.
    """
    typed = bare_of(phrase)
    vias = [match.via for match in names.find(phrase, 4) if match.grade.grade_id in claim.grade_ids]
    same = [bare_of(via) for via in (*vias, claim.label) if _figures(via) == _figures(phrase)]
    return max((100.0 * OSA.normalized_similarity(typed, via) for via in same), default=0.0)


def _figures(text: str) -> str:
    return "".join(sign for sign in text if sign.isdigit())


@functools.lru_cache(maxsize=4096)
def near_words(names: NameIndex | None, key: str) -> tuple[str, ...]:
    """Return names and reserved words that a word may be a slip of, the likeliest first, at most
    MOST_OFFERS."""
    typed = bare_of(key)
    near = list(names.near(key)) if names is not None else []
    if typed.isalpha() and len(typed) >= _LEAST_LETTERS:
        found = process.extract(
            typed, _suggested(), scorer=OSA.normalized_similarity, score_cutoff=LIKE_ENOUGH, limit=3
        )
        near += [word for word, _, _ in found if begins_alike(typed, word)]
    ranked = sorted(dict.fromkeys(near), key=lambda one: -OSA.normalized_similarity(typed, bare_of(one)))
    return tuple(ranked[:MOST_OFFERS])


@functools.cache
def _suggested() -> list[str]:
    """Return the single words that are offered: reserved ones, remarks and those that call for a caution."""
    cautions = [word for caution in all_cautions() for word in caution.words if " " not in word]
    return list(
        dict.fromkeys([*_SUGGESTED, *(w for w in REMARK_BY_WORD if " " not in w and len(w) > 3), *cautions])
    )


@functools.lru_cache(maxsize=4096)
def likeness_to_reserved(key: str) -> float:
    """Return how like a word is to the reserved word that is most like it, 0..100; 0 where none is like it.

    >>> round(likeness_to_reserved("sheeet")), likeness_to_reserved("xyzzy")
    (83, 0.0)
    """
    scorer = OSA.normalized_similarity
    found = process.extractOne(key, _SUGGESTED, scorer=scorer, score_cutoff=LIKE_ENOUGH)
    return 0.0 if found is None else 100.0 * found[1]


def take_named_phrases(draft: Draft, names: NameIndex | None, *, joins_numbers: bool = True) -> None:
    """Take the names of two words and more, reserved words among them: "yellow brass", "cast iron".

    Args:
        draft: The line so far.
        names: Names of the grades.
        joins_numbers: A name may start with a number whose other words are a name too ("260 brass").
    """
    for first in draft.free_words():
        for length in range(draft.free_run(first, LONGEST_NAME), 1, -1):
            last = first + length - 1
            claim = _spaced_name(draft, names, first, last)
            if claim is not None:
                take_claim(draft, first, last, claim)
                break
            if _may_be_phrase(draft, first, last):
                claim = exact(names, draft.key(first, last).replace(FORCED, ""))
                if claim is None or _has_idle_word(draft, names, first, last, claim):
                    continue
                is_weak = _is_all_reserved(draft, first, last) or _is_short_number_with_remark(
                    draft, first, last
                )
                if is_weak and not _is_name(names, draft.key(first, last)):
                    continue
                if joins_numbers or not _starts_with_number(draft, names, first, last):
                    take_claim(draft, first, last, claim)
                    break


def _spaced_name(draft: Draft, names: NameIndex | None, first: int, last: int) -> Claim | None:
    """Return the claim of a name with a number that stands apart: "51 CrV4", "1 4301", "18 8", "C 36000".

    Only behind a weight or another number, since the only number of a line is its weight; and never where
    the number or the symbol beside it belongs to a reading.
    """
    keys = [draft.key(index) for index in range(first, last + 1)]
    numbers = [key for key in keys if is_number(key)]
    behind = draft.of_kind(TokenKind.WEIGHT) or any(is_number(draft.key(i)) for i in range(first))
    if names is None or not numbers or not behind or _is_among_readings(draft, keys, first, last):
        return None
    if len(numbers) == len(keys):
        # The signs between the figures tell them from a number: "18 8" is 18-8, and no alloy 188.
        spelt = ".".join(keys) if _MATERIAL_NUMBER.fullmatch(" ".join(keys)) else "-".join(keys)
        claim = exact(names, spelt)
        return claim if claim is not None and not claim.remark else None
    # "10 CrMo9-10" is 10CrMo9-10: the figures behind the first symbol stay apart.
    phrase = "".join(keys) if len(keys) == 2 and is_number(keys[0]) else " ".join(keys)
    return exact(names, phrase) if names.has(phrase) else None


def _is_among_readings(draft: Draft, keys: list[str], first: int, last: int) -> bool:
    """Return True where a symbol and a number of the phrase, or at its ends, make a reading."""
    if keys[0] in SYMBOLS and is_number(keys[1]):
        return float(as_fraction(keys[1])) <= _FULL_PCT
    if is_number(keys[0]) and first > 0 and draft.key(first - 1) in SYMBOLS:
        return True
    return _is_symbol_with_number(draft, last)


def _is_symbol_with_number(draft: Draft, index: int) -> bool:
    """Return True for a symbol with a number behind it, which makes a reading of both."""
    has_next = index + 1 < len(draft.words)
    return has_next and draft.key(index) in SYMBOLS and is_number(draft.key(index + 1))


def names_thing(draft: Draft, names: NameIndex | None, first: int, last: int) -> bool:
    """Return True when words first..last stand within the longer name of a material ("lead acid battery")."""
    for start in range(max(0, last - LONGEST_NAME + 1), first + 1):
        for end in range(last, start + LONGEST_NAME):
            if (start, end) == (first, last) or not draft.is_free(start, end):
                continue
            claim = exact(names, draft.key(start, end))
            if claim is not None and claim.material_ids:
                return True
    return False


_GRADE_WORDS = frozenset({"gr", "gr.", "grade", "class", "cl", "cl.", "type", "tp"})
"""Words before the number or letter of a grade within its standard: "A615 Gr 60"."""


def _has_idle_word(draft: Draft, names: NameIndex | None, first: int, last: int, claim: Claim) -> bool:
    """Return True when a reserved word or a number adds nothing to the name: "304 clean", "6061-T6 4"."""
    if _is_name(names, draft.key(first, last)):
        return False
    for start in range(first, last + 1):
        for end in range(start, last + 1):
            dropped = [*range(first, start), *range(end + 1, last + 1)]
            said = [draft.key(i) for i in dropped]
            if not any(is_number(key) or reserved(key) is not None or remark(key) == _JOINS for key in said):
                continue
            if not _GRADE_WORDS.isdisjoint(said):
                continue
            part = exact(names, draft.key(start, end).replace(FORCED, ""))
            if part is not None and _means(part) == _means(claim):
                return True
    return False


def _is_name(names: NameIndex | None, phrase: str) -> bool:
    """Return True for a phrase that stands in the dictionary as a whole."""
    return names is not None and names.has(phrase.replace(FORCED, ""))


def _means(claim: Claim) -> tuple[frozenset[str], tuple[str, ...], str]:
    return claim.grade_ids, claim.material_ids, claim.ask


def _is_all_reserved(draft: Draft, first: int, last: int) -> bool:
    return all(reserved(draft.key(i)) is not None for i in range(first, last + 1))


def _is_short_number_with_remark(draft: Draft, first: int, last: int) -> bool:
    """Return True for a weight and a word that says nothing: "12 coil" is no titanium of grade 12."""
    number = draft.key(first)
    return last == first + 1 and is_number(number) and not _GRADE_NUMBER.fullmatch(number)


def _starts_with_number(draft: Draft, names: NameIndex | None, first: int, last: int) -> bool:
    return is_number(draft.key(first)) and exact(names, draft.key(first + 1, last)) is not None


def _may_be_phrase(draft: Draft, first: int, last: int) -> bool:
    """Return False for words that mean more by themselves: two reserved ones, a symbol with its number."""
    keys = [draft.key(index) for index in range(first, last + 1)]
    if any(is_number(key) and not key.isdigit() and not _GRADE_NUMBER.fullmatch(key) for key in keys):
        return False
    if len(keys) == 2 and is_number(keys[0]) and not _GRADE_NUMBER.fullmatch(keys[0]):
        # "5 alloy" in "5 alloy 20" is a weight and the beginning of a name; "81 metal" is a name.
        return len(keys[0]) == 2 and remark(keys[1]) is not None
    if all(is_number(key) or reserved(key) is not None for key in keys):
        # "cast iron" has a free word, "light grey" has none; a name made of numbers alone needs "#". The
        # name of a
        # thing may be made of words that are reserved one by one: "chrome tap", "tin can".
        return any(key.startswith(FORCED) for key in keys) or not any(map(is_number, keys))
    if len(keys) == 2 and keys[0] in SYMBOLS and is_number(keys[1]):
        return False
    # "w 6 mo 5" are two readings, and no 6Mo with a system before it.
    return not (any(map(is_number, keys)) and _is_symbol_with_number(draft, last))


def take_claim(draft: Draft, first: int, last: int, claim: Claim, hint: str = "") -> None:
    """Take words first..last as a name of the metal, or as a question where the name has to be asked back."""
    typed = draft.text(first, last)
    if claim.ask:
        problem = f"'{typed}': {claim.ask}"
        draft.take(
            TokenKind.UNKNOWN, first, last, ASKED_BACK, problem=problem, offers=claim.offers, value=claim
        )
        return
    meaning = claim.label if claim.is_exact else f'close to {claim.label}, typed "{typed}"?'
    if claim.is_near:
        claim = replace(claim, text=typed)
        meaning = f"{typed}: near {claim.label}, not the same" + (";" if hint else "")
    if claim.remark:
        meaning = f"{typed}: {claim.remark}"
    draft.take(TokenKind.CLAIM, first, last, meaning + hint, value=claim)


def take_names(draft: Draft, names: NameIndex | None) -> None:
    """Take what is left and names a metal: exact names first, the longest, then near ones."""
    for first in draft.free_words():
        if is_number(draft.key(first)):
            continue
        length = _name_run(draft, first)
        if not (_take_exact(draft, names, first, length) or draft.key(first).startswith(FORCED)):
            _take_close(draft, names, first, length)


def _name_run(draft: Draft, first: int) -> int:
    """Return how many free words from first on can belong to one name; a bare number ends it."""
    length = draft.free_run(first, LONGEST_NAME)
    for offset in range(1, length):
        if is_number(draft.key(first + offset)):
            return offset
    return length


def _take_exact(draft: Draft, names: NameIndex | None, first: int, longest: int) -> bool:
    for length in range(longest, 0, -1):
        claim = exact(names, draft.key(first, first + length - 1).replace(FORCED, ""))
        if claim is not None:
            take_claim(draft, first, first + length - 1, claim)
            return True
    return False


def _take_close(draft: Draft, names: NameIndex | None, first: int, longest: int) -> None:
    """Take a slip in a name of several words or with figures; one word of letters alone is asked: it may be
    another word ("satellite", "missing")."""
    reserved_likeness = likeness_to_reserved(draft.key(first))
    for length in range(longest, 0, -1):
        last = first + length - 1
        found = close(names, draft.key(first, last))
        if found is None:
            continue
        claim, likeness = found
        if length == 1 and not claim.is_exact and draft.key(first).isalpha():
            continue
        if reserved_likeness >= likeness:
            # A mistyped "sheet" is asked back rather than swallowed by a name.
            continue
        holds_name = any(exact(names, draft.key(index)) for index in range(first + 1, last + 1))
        if holds_name and likeness < SURELY_MEANT:
            # "blurple brass" is brass and an unknown word, unless the whole is very like a name.
            continue
        take_claim(draft, first, last, claim)
        return
