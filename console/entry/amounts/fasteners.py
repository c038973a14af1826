"""What stands on bolts, screws and nuts: the thread, "M10x40", and the strength class, "8.8"."""

import re

from console.entry.claims import exact, take_claim
from console.entry.draft import Draft
from console.entry.token_kind import TokenKind
from console.entry.vocabulary import says_form
from console.ground.mass import NUMBER, is_number
from grade_library.facts import Form
from grade_library.naming.names import NameIndex

_THREAD = re.compile(rf"m([0-9]{{1,2}})(?:[x×]{NUMBER}){{0,2}}")
_LEAST_THREAD_MM, _MOST_THREAD_MM = 3, 64
"""Metric threads that are met (ISO 262, memory); "m0" to "m2" say what the magnet does."""
STRENGTH_CLASSES = frozenset({"4.6", "4.8", "5.6", "5.8", "6.8", "8.8", "9.8", "10.9", "12.9"})
"""Of bolts and screws of carbon and alloy steel (ISO 898-1, memory)."""


def take_fasteners(draft: Draft, names: NameIndex | None) -> None:
    """Take thread and strength class beside the word for a fastener; alone they are a grade and a weight.

    A strength class says steel. The only number of a line is its weight ("8.8 bolts"), and of several
    classes the first is.
    """
    if not says_form([word.key for word in draft.words], Form.FASTENER):
        return
    for index in draft.free_words():
        thread = _THREAD.fullmatch(draft.key(index))
        if thread is not None and _LEAST_THREAD_MM <= int(thread[1]) <= _MOST_THREAD_MM:
            draft.take(TokenKind.REMARK, index, index, f"said: thread {draft.text(index)}")
    for index in _classes(draft):
        typed = draft.text(index)
        steel = exact(names, "steel")
        if steel is None:
            draft.take(TokenKind.REMARK, index, index, f"said: strength class {typed}")
        else:
            take_claim(draft, index, index, steel, f", strength class {typed}")


def _classes(draft: Draft) -> list[int]:
    """Return the places of the numbers that are strength classes."""
    numbers = [index for index in draft.free_words() if is_number(draft.key(index))]
    classes = [index for index in numbers if draft.key(index).replace(",", ".") in STRENGTH_CLASSES]
    has_weight = bool(draft.of_kind(TokenKind.WEIGHT)) or len(numbers) > len(classes)
    return classes if has_weight else classes[1:]
