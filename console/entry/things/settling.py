"""What the words of one line settle among themselves: metal and thing, thing and part, two things."""

import itertools
import re
from collections.abc import Mapping
from dataclasses import replace

from console.entry.claims import exact
from console.entry.draft import Draft, Mark
from console.entry.token_kind import ASKED_BACK, TokenKind
from console.entry.vocabulary import BY_WORD, remark
from grade_library.facts import Claim, Surface
from grade_library.naming.names import NameIndex

_JOINS = "joins"
"""What `remark` says of a word that only joins."""
_HOUSING = "said: housing"
"""Meaning of a word for the hull of a thing, which is of a metal of its own."""
_ATTACHED = BY_WORD["attached"]
"""The word for what hangs on a piece."""
_OWN_METAL: Mapping[str, str] = {"roller blind": "aluminium"}
"""Simple goods that come in several metals -> the one that they mostly are of (common practice)."""
_ALTERNATIVES = re.compile(r"[,?;:]|\bor\b")
"""What stands between the answers in a question."""


def settle(draft: Draft, names: NameIndex | None) -> None:
    """Let the words of a line answer each other."""
    _settle_questions(draft, names)
    _settle_usual(draft)
    _settle_solder(draft, names)
    _settle_goods(draft, names)
    _settle_housings(draft)
    _settle_things(draft)


def _named_metals(draft: Draft) -> list[Claim]:
    """Return what is said of the metal itself: no things, and no metal that a thing only usually is."""
    named = [mark.value for mark in draft.of_kind(TokenKind.CLAIM)]
    return [claim for claim in named if not claim.is_usual and not claim.material_ids]


def _as_said(draft: Draft, mark: Mark) -> None:
    """Take a name as a remark; the form that it tells stays."""
    claim = mark.value
    is_form = claim.form is not None and not draft.of_kind(TokenKind.FORM)
    said = replace(
        mark,
        kind=TokenKind.FORM if is_form else TokenKind.REMARK,
        meaning=f"said: {draft.text(mark.first, mark.last)}",
        problem="",
        offers=(),
        value=claim.form if is_form else None,
    )
    draft.marks[draft.marks.index(mark)] = said


def _settle_questions(draft: Draft, names: NameIndex | None) -> None:
    """Take what is asked back as answered where another word of the line answers it: "zinc gutter".

    Of a thing any metal answers, and a skin of zinc, which lies on steel or iron.
    """
    metals = _named_metals(draft)
    is_galvanised = any(mark.value is Surface.GALVANISED for mark in draft.of_kind(TokenKind.SURFACE))
    for mark in draft.of_kind(TokenKind.UNKNOWN):
        if not isinstance(mark.value, Claim):
            continue
        if mark.value.is_usual and (metals or is_galvanised):
            _as_said(draft, mark)
            continue
        ways = (*_ALTERNATIVES.split(mark.value.ask), *mark.value.offers)
        known = [claim for way in ways if (claim := exact(names, way.strip())) is not None]
        named = [other.value for other in draft.of_kind(TokenKind.CLAIM)]
        if is_galvanised and (steel := exact(names, "steel")) is not None:
            named.append(steel)
        if any(claim.grade_ids & one.grade_ids for claim in known for one in named):
            _as_said(draft, mark)


def _settle_usual(draft: Draft) -> None:
    """Let a metal that is said decide before the one that a thing usually is: "aluminium scaffold tube".

    Of two things the last is the piece, where a word that joins stands between them the first.
    """
    usual = [mark for mark in draft.of_kind(TokenKind.CLAIM) if mark.value.is_usual]
    is_named = len(usual) < len(draft.of_kind(TokenKind.CLAIM))
    if is_named:
        for mark in usual:
            _as_said(draft, mark)
        return
    for first, second in itertools.pairwise(usual):
        if first.value.grade_ids.isdisjoint(second.value.grade_ids):
            between = range(first.last + 1, second.first)
            is_joined = any(remark(draft.key(index)) == _JOINS for index in between)
            _as_said(draft, second if is_joined else first)
            return


def _settle_solder(draft: Draft, names: NameIndex | None) -> None:
    """Take solder beside the metal of a piece as what hangs on it: "copper pipe with solder"."""
    solder = exact(names, "solder")
    named = draft.of_kind(TokenKind.CLAIM)
    if solder is None:
        return
    for mark in named:
        others = [other.value for other in named if other is not mark and other.value.grade_ids]
        is_solder = mark.value.grade_ids == solder.grade_ids
        if is_solder and any(one.grade_ids.isdisjoint(solder.grade_ids) for one in others):
            draft.marks[draft.marks.index(mark)] = replace(
                mark, kind=TokenKind.SURFACE, meaning=_ATTACHED.meaning, value=_ATTACHED.value
            )


def _settle_goods(draft: Draft, names: NameIndex | None) -> None:
    """Let a metal that is said decide before the name of simple goods: "persiana de acero".

    Where it is the metal that the goods are made of anyhow, the goods stay the name.
    """
    metals = _named_metals(draft)
    for mark in draft.of_kind(TokenKind.CLAIM):
        goods = mark.value.material_ids
        if len(goods) != 1 or mark.value.grade_ids or goods[0] not in _OWN_METAL:
            continue
        own = exact(names, _OWN_METAL[goods[0]])
        if own is not None and any(one.grade_ids.isdisjoint(own.grade_ids) for one in metals):
            _as_said(draft, mark)


def _settle_housings(draft: Draft) -> None:
    """Ask for the metal of a housing beside the name of a unit: "pump housing" is no pump."""
    hulls = [mark for mark in draft.of_kind(TokenKind.REMARK) if mark.meaning == _HOUSING]
    for mark in draft.of_kind(TokenKind.CLAIM):
        if not mark.value.material_ids or mark.value.grade_ids or not hulls:
            continue
        if _named_metals(draft):
            _as_said(draft, mark)
            continue
        typed = draft.text(mark.first, mark.last)
        draft.marks[draft.marks.index(mark)] = replace(
            mark,
            kind=TokenKind.UNKNOWN,
            meaning=ASKED_BACK,
            problem=f"'{typed}': of which metal is the housing?",
            offers=("cast iron", "aluminium", "steel", "brass"),
            value=None,
        )


def _settle_things(draft: Draft) -> None:
    """Take the name of a thing beside another as where it is from: "pc motherboard", "moteur de frigo".

    The last one is the piece, where a word that joins stands between them the first.
    """
    things = [mark for mark in draft.of_kind(TokenKind.CLAIM) if mark.value.material_ids]
    for first, second in itertools.pairwise(things):
        if not set(first.value.material_ids).isdisjoint(second.value.material_ids):
            continue
        between = [draft.key(index) for index in range(first.last + 1, second.first)]
        joins = [remark(key) == _JOINS for key in (*between, draft.key(second.first))]
        if not all(joins[:-1]):
            continue
        # A name takes a joining word behind it in: "moteur électrique de".
        ends_joined = first.last > first.first and remark(draft.key(first.last)) == _JOINS
        _as_said(draft, second if ends_joined or any(joins) else first)
