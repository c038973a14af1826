"""What the line says that a piece is not: asked, since neither a bay nor a reading follows from it."""

import re

from console.entry.claims import LONGEST_NAME, exact
from console.entry.draft import Draft
from console.entry.token_kind import ASKED_BACK, KEPT, TokenKind
from console.entry.vocabulary import reserved
from grade_library.facts import Claim
from grade_library.naming.names import NameIndex

NEGATING = frozenset(
    {
        *("no", "not", "without", "isn't", "isnt", "never"),
        *("nicht", "kein", "keine", "keinen", "ohne"),
        *("pas", "sans", "non", "senza", "sin"),
    }
)
"""Words that say of the next that it is not there, in five languages."""
_BETWEEN = frozenset({"a", "an", "any", "de", "du", "d", "es", "un", "une", "una", "il", "la", "le"})
"""Words that may stand between: "pas de cuivre", "no es cobre"."""
_NUMBERED = re.compile(r"[0-9]{1,2}|[0-9]\.[0-9]{4}")
"""What is numbered and not denied: "no 1 copper", "mat no 1.4301"."""


def take_negations(draft: Draft, names: NameIndex | None) -> None:
    """Take a denial with what it denies: "no rust" is kept and says nothing, "not brass" is asked."""
    for index, denying in enumerate(draft.words):
        if denying.key not in NEGATING or not draft.is_free(index):
            continue
        last = index + 1
        while draft.is_free(last + 1) and draft.key(last) in _BETWEEN:
            last += 1
        if not draft.is_free(index, last) or _NUMBERED.fullmatch(draft.key(last)):
            continue
        if _is_said(draft, names, index, last):
            continue
        word, typed = reserved(draft.key(last)), draft.text(index, last)
        denied = exact(names, draft.key(last))
        if word is not None and word.kind is TokenKind.SURFACE:
            draft.take(TokenKind.REMARK, index, last, f"said: {typed}")
        elif denied is not None:
            problem = f"'{typed}': type what it is, or ? for hold; what it is not names no bay"
            draft.take(TokenKind.UNKNOWN, index, last, ASKED_BACK, problem=problem, value=denied)


def keep_denials(draft: Draft) -> None:
    """Keep as a note what is denied beside the name of another metal: "aluminium without iron"."""
    if not any(word.key in NEGATING for word in draft.words):
        return
    said = [mark.value for mark in draft.of_kind(TokenKind.CLAIM) if not mark.value.is_usual]
    metals = [claim.grade_ids for claim in said if claim.grade_ids]
    for mark in draft.of_kind(TokenKind.UNKNOWN):
        if not metals or draft.key(mark.first) not in NEGATING or not isinstance(mark.value, Claim):
            continue
        if not any(mark.value.grade_ids & ids for ids in metals):
            draft.change(mark, kind=TokenKind.REMARK, meaning=KEPT, value=None)


def _is_said(draft: Draft, names: NameIndex | None, first: int, last: int) -> bool:
    """Return True where the denying word is part of a phrase or name of its own: "no magnet"."""
    for end in range(first + 1, first + draft.free_run(first, LONGEST_NAME)):
        phrase = draft.key(first, end)
        if reserved(phrase) is not None:
            return True
        claim, bare = exact(names, phrase), exact(names, draft.key(last, end)) if end >= last else None
        # Before a grade "no" may be short for number and is left out of the name.
        if claim is not None and (bare is None or _named(claim) != _named(bare)):
            return True
    return False


def _named(claim: Claim) -> tuple[frozenset[str], tuple[str, ...]]:
    """Return what a claim names."""
    return claim.grade_ids, claim.material_ids
