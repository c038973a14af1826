"""What the words of one line settle among themselves: metal and thing, thing and part, two things."""

import itertools
import re
from collections.abc import Collection, Mapping
from dataclasses import replace

from console.entry.claims import exact
from console.entry.draft import Draft, Mark
from console.entry.things.no_metal import NO_METAL
from console.entry.things.unknown_words import keep_unknown_words
from console.entry.token_kind import ASKED_BACK, TokenKind
from console.entry.vocabulary import BY_WORD, JOINS, remark, reserved, says_form
from grade_library.facts import Claim, Form, MagnetPull, Surface
from grade_library.naming.names import NameIndex
from grade_library.naming.trade_words import NOUN_FIRST

_HOLDS = ("tank", "what it stands in")
"""What `remark` says of what pieces are brought in."""
_HOUSING = "said: housing"
"""Meaning of a word for the hull of a thing, which is of a metal of its own."""
_ATTACHED = BY_WORD["attached"]
"""The word for what hangs on a piece."""
_OWN_METAL: Mapping[str, str] = {"roller blind": "aluminium", "key": "", "pump": ""}
"""Simple goods that come in several metals -> the one that they mostly are of, empty where there is none
(common practice)."""
_SYMBOL_THAT_JOINS = "al"
"""The symbol of a metal that is a small word of two languages as well."""
_INSULATION = frozenset({"plastic", "rubber"})
"""Ids of what lies round a cable."""
_BARE_CABLE, _INSULATED_CABLE = "bare aluminium cable", "insulated aluminium wire"
"""What "alu cable" is by itself, and with something round it."""
_WITH = frozenset({"with", "mit", "avec", "con"})
"""What stands before the lesser part of a piece."""
_IRON = re.compile(r"\b(?:cast iron|iron|steel|tin can|tinplate)\b(?<!stainless steel)")
"""Answers that a strong magnet chooses, and none of the others."""
_ALTERNATIVES = re.compile(r"[,?;:]|\bor\b")
"""What stands between the answers in a question."""
_READ = (TokenKind.READING,)
_SEEN = (
    *(*_READ, TokenKind.MAGNET, TokenKind.COLOUR, TokenKind.SCRATCH, TokenKind.HEFT, TokenKind.SPARK),
    *(TokenKind.DENSITY, TokenKind.CONDUCTIVITY),
)
"""What was found out about the metal itself."""
_MADE_SO = (Form.CASTING, Form.FORGING)
"""Forms that say how a thing was made, and are no thing themselves."""
_ON_IRON = frozenset({Surface.GALVANISED, Surface.RUSTY})
"""Skins that lie on steel or iron."""


def settle(draft: Draft, names: NameIndex | None, codes: Collection[str] = ()) -> None:
    """Let the words of a line answer each other; `codes` are those of the bays, case-folded."""
    _settle_symbols(draft, names)
    _settle_insulation(draft, names)
    _settle_found(draft)
    _settle_parts(draft)
    _settle_forms(draft, names)
    _settle_hung_on(draft)
    _settle_questions(draft, names)
    _settle_usual(draft)
    _settle_solder(draft, names)
    _settle_goods(draft, names)
    _settle_housings(draft)
    _settle_things(draft)
    keep_unknown_words(draft, names, codes)


def _said_of_metal(claim: Claim) -> bool:
    """Return True for what says of which metal a thing is, or that it is of none."""
    return not claim.is_usual and (not claim.material_ids or not NO_METAL.isdisjoint(claim.material_ids))


def _named_metals(draft: Draft) -> list[Claim]:
    """Return what is said of the metal itself: no things, and no metal that a thing only usually is."""
    return [mark.value for mark in draft.of_kind(TokenKind.CLAIM) if _said_of_metal(mark.value)]


def _as_said(draft: Draft, mark: Mark) -> None:
    """Take a name as a remark; the form that it tells stays."""
    claim = mark.value
    is_form = claim.form is not None and not draft.of_kind(TokenKind.FORM)
    kind = TokenKind.FORM if is_form else TokenKind.REMARK
    meaning = f"said: {draft.text(mark.first, mark.last)}"
    draft.change(mark, kind=kind, meaning=meaning, value=claim.form if is_form else None)


def _things(draft: Draft) -> list[Mark]:
    """Return the names of things by their usual metal, told or asked, in the order typed."""
    named = [mark for mark in draft.marks if isinstance(mark.value, Claim) and mark.value.is_usual]
    return sorted(named, key=lambda mark: mark.first)


def _settle_symbols(draft: Draft, names: NameIndex | None) -> None:
    """Take "al" for aluminium where it joins nothing: "7.7 al painted", and not "tubo al piombo"; behind a
    thing it is its metal: "heater matrix al"."""
    is_asked = any(isinstance(mark.value, Claim) for mark in draft.of_kind(TokenKind.UNKNOWN))
    is_named = any(mark.kind in (TokenKind.CLAIM, TokenKind.UNKNOWN) for mark in draft.marks)
    for mark in draft.of_kind(TokenKind.REMARK):
        if is_named and not (mark.last == len(draft.words) - 1 and (is_asked or _things(draft))):
            continue
        if draft.key(mark.first, mark.last) == _SYMBOL_THAT_JOINS and (claim := exact(names, "aluminium")):
            draft.change(mark, kind=TokenKind.CLAIM, meaning=claim.label, value=claim)
            return


def _settle_insulation(draft: Draft, names: NameIndex | None) -> None:
    """Take plastic and rubber beside a cable as what is round it: "alu cable pvc" is no plastic."""
    if not says_form([word.key for word in draft.words], Form.CABLE):
        return
    named = draft.of_kind(TokenKind.CLAIM)
    for mark in named:
        if _INSULATION.isdisjoint(mark.value.material_ids):
            continue
        draft.change(mark, kind=TokenKind.SURFACE, meaning=_ATTACHED.meaning, value=_ATTACHED.value)
        for other in named:
            is_bare = other.value.material_ids == (_BARE_CABLE,)
            if is_bare and (claim := exact(names, _INSULATED_CABLE)) is not None:
                draft.change(other, meaning=claim.label, value=claim)


def _settle_forms(draft: Draft, names: NameIndex | None) -> None:
    """Take a form that is all the line says as the thing that it is: "screws" are of steel as a rule.

    Where several metals are usual it is asked which: a "tap" is of brass, of zinc, or a tool. Beside any
    name, reading or test of the metal it only tells the form.
    """
    forms = draft.of_kind(TokenKind.FORM)
    told = (TokenKind.CLAIM, TokenKind.UNKNOWN, *_SEEN)
    if not forms or any(mark.kind in told for mark in draft.marks):
        return
    mark = forms[-1]
    claim = exact(names, draft.key(mark.first, mark.last))
    key = draft.key(mark.first, mark.last)
    is_unit = claim is not None and bool(claim.material_ids) and names is not None and names.has(key)
    if claim is not None and claim.ask:
        problem = f"'{draft.text(mark.first, mark.last)}': {claim.ask}"
        draft.change(
            mark,
            kind=TokenKind.UNKNOWN,
            meaning=ASKED_BACK,
            problem=problem,
            offers=claim.offers,
            value=claim,
        )
    elif claim is not None and (claim.is_usual or is_unit):
        draft.change(mark, usual=claim)


def _settle_found(draft: Draft) -> None:
    """Let what was found out about the metal decide before what a thing usually is: "propeller cu60 zn38"."""
    kinds = {mark.kind for mark in draft.marks}
    for mark in _things(draft):
        if not kinds.isdisjoint(_SEEN if mark.value.ask else _READ):
            _as_said(draft, mark)


def _settle_hung_on(draft: Draft) -> None:
    """Take a second metal behind "with" as what hangs on the piece: "lead pipe with brass union"."""
    metals = [mark for mark in draft.of_kind(TokenKind.CLAIM) if mark.value.grade_ids]
    for first, second in itertools.pairwise(metals):
        # A name may take the joining word in.
        between = range(first.last, second.last + 1)
        is_other = first.value.grade_ids.isdisjoint(second.value.grade_ids)
        if is_other and any(draft.key(index) in _WITH for index in between):
            draft.change(second, kind=TokenKind.SURFACE, meaning=_ATTACHED.meaning, value=_ATTACHED.value)


def _settle_parts(draft: Draft) -> None:
    """Take a thing beside a form as where that is from: a "bath pipe" is a pipe, "tubo de estufa" too."""
    forms = [mark for mark in draft.of_kind(TokenKind.FORM) if mark.value not in _MADE_SO]
    is_form = {index for mark in forms for index in range(mark.first, mark.last + 1)}
    for mark in _things(draft):
        head = mark.first - 1 if (mark.value.tongue in NOUN_FIRST) else mark.last + 1
        while (mark.value.tongue in NOUN_FIRST) and head > 0 and remark(draft.key(head)) == JOINS:
            head -= 1
        if head in is_form and mark.kind is TokenKind.CLAIM:
            _as_said(draft, mark)


def _settle_questions(draft: Draft, names: NameIndex | None) -> None:
    """Take what is asked back as answered where another word of the line answers it: "zinc gutter".

    Of a thing any metal answers; a skin of zinc or rust lies on steel or iron, and what is cast of a thing
    that may be cast iron is that.
    """
    is_answered = bool(_named_metals(draft)) or _has_metal_in_name(draft, names)
    skins = {mark.value for mark in draft.of_kind(TokenKind.SURFACE)}
    iron: tuple[str, ...] = () if skins.isdisjoint(_ON_IRON) else ("steel", "cast iron")
    if any(mark.value is Form.CASTING for mark in draft.of_kind(TokenKind.FORM)):
        iron = ("cast iron",)
    for mark in draft.of_kind(TokenKind.UNKNOWN):
        if not isinstance(mark.value, Claim):
            continue
        if mark.value.is_usual and is_answered:
            _as_said(draft, mark)
            continue
        word = reserved(draft.key(mark.first, mark.last))
        if is_answered and word is not None and word.kind is TokenKind.FORM:
            # Beside a metal a tap or taps are a form.
            draft.change(mark, kind=word.kind, meaning=word.meaning, value=word.value)
            continue
        ways = (*_ALTERNATIVES.split(mark.value.ask), *mark.value.offers)
        known = [claim for way in ways if (claim := exact(names, way.strip())) is not None]
        named = [other.value for other in draft.of_kind(TokenKind.CLAIM)]
        if mark.value.is_usual and (metal := next((one for one in iron if one in mark.value.offers), "")):
            _take_metal(draft, mark, metal, exact(names, metal))
            continue
        if (told := exact(names, _by_magnet(draft, mark.value.offers))) is not None:
            _take_answer(draft, mark, told)
            continue
        if Surface.GALVANISED in skins and (steel := exact(names, "steel")) is not None:
            named.append(steel)
        if any(claim.grade_ids & one.grade_ids for claim in known for one in named):
            _as_said(draft, mark)


def _has_metal_in_name(draft: Draft, names: NameIndex | None) -> bool:
    """Return True where the name of a unit begins with its metal: "aluminium door" before "handle"."""
    units = [mark for mark in draft.of_kind(TokenKind.CLAIM) if mark.value.material_ids]
    return any(
        mark.last > mark.first
        and (claim := exact(names, draft.key(mark.first))) is not None
        and _said_of_metal(claim)
        for mark in units
    )


def _by_magnet(draft: Draft, offers: Collection[str]) -> str:
    """Return the one answer that the magnet leaves; empty where it leaves none or several."""
    for mark in draft.of_kind(TokenKind.MAGNET):
        if mark.value is not MagnetPull.WEAK:
            is_iron = mark.value is MagnetPull.STRONG
            left = [one for one in offers if (_IRON.search(one) is not None) is is_iron]
            return left[0] if len(left) == 1 else ""
    return ""


def _take_answer(draft: Draft, mark: Mark, claim: Claim) -> None:
    """Take what was asked as answered."""
    draft.change(mark, kind=TokenKind.CLAIM, meaning=claim.label, value=claim)


def _take_metal(draft: Draft, mark: Mark, metal: str, of_metal: Claim | None) -> None:
    """Take a thing that was asked as one of a metal."""
    asked = mark.value
    ids = frozenset() if of_metal is None else of_metal.grade_ids
    label = f"{asked.label}, of {metal}"
    _take_answer(draft, mark, replace(asked, ask="", offers=(), grade_ids=ids, label=label))


def _settle_usual(draft: Draft) -> None:
    """Let a metal that is said decide before the one that a thing usually is: "aluminium scaffold tube".

    Of two things the last is the piece, where a word that joins stands between them the first.
    """
    things = _things(draft)
    if _named_metals(draft):
        for mark in things:
            if mark.kind is TokenKind.CLAIM:
                _as_said(draft, mark)
        return
    units = [mark for mark in draft.of_kind(TokenKind.CLAIM) if mark.value.material_ids]
    things = sorted([*things, *units], key=lambda mark: mark.first) if things else []
    while len(things) > 1:
        first, second = things[:2]
        between = range(first.last + 1, second.first)
        is_joined = any(remark(draft.key(index)) == JOINS for index in between)
        # "Box of old keys" is keys: what holds them is not the piece.
        is_first = is_joined and remark(draft.key(first.first, first.last)) not in _HOLDS
        _as_said(draft, second if is_first else first)
        things.remove(second if is_first else first)


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
            draft.change(mark, kind=TokenKind.SURFACE, meaning=_ATTACHED.meaning, value=_ATTACHED.value)


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
        if metals and (own is None or any(one.grade_ids.isdisjoint(own.grade_ids) for one in metals)):
            _as_said(draft, mark)


def _settle_housings(draft: Draft) -> None:
    """Ask for the metal of a housing beside the name of a unit: "pump housing" is no pump."""
    hulls = [mark for mark in draft.of_kind(TokenKind.REMARK) if mark.meaning == _HOUSING]
    for mark in draft.of_kind(TokenKind.CLAIM):
        is_unit = bool(mark.value.material_ids) and not mark.value.grade_ids
        if not hulls or not (is_unit or mark.value.is_usual):
            continue
        if _named_metals(draft):
            _as_said(draft, mark)
            continue
        typed = draft.text(mark.first, mark.last)
        draft.change(
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
        joins = [remark(key) == JOINS for key in (*between, draft.key(second.first))]
        if not all(joins[:-1]):
            continue
        # A name takes a joining word behind it in: "moteur électrique de".
        ends_joined = first.last > first.first and remark(draft.key(first.last)) == JOINS
        _as_said(draft, second if ends_joined or any(joins) else first)
