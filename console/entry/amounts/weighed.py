"""A weight on the entry line: of which scale, gross and tare."""

import re
from dataclasses import dataclass

from console.entry.draft import Draft
from console.entry.token_kind import TokenKind
from console.entry.yard_words import YardWords
from console.ground.mass import (
    NUMBER,
    UNIT_WORDS,
    MassError,
    as_fraction,
    format_mass,
    is_number,
    parse_mass_g,
)

UNITS = "|".join(sorted((*UNIT_WORDS, "tons", "ton"), key=len, reverse=True))
_TARED = re.compile(rf"({NUMBER}(?:{UNITS})?)-({NUMBER}(?:{UNITS})?)")
_MOST_PCT = 100
"""Above it a number is no share of an element [wt %]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Weighed:
    """What a scale said of an entry."""

    net_g: int
    """Without the box or pallet, > 0 [g]."""
    weighings: int
    """1, or 2 where a tare was taken off."""
    is_on_platform: bool


def unit_of(yard: YardWords | None) -> str:
    """Return the unit of a bare number."""
    return "kg" if yard is None else yard.weight_unit


def is_tared(key: str) -> bool:
    """Return whether a word is a gross weight and a tare.

    >>> is_tared("640-28"), is_tared("640kg-28.5kg"), is_tared("640")
    (True, True, False)
    """
    return _TARED.fullmatch(key) is not None


_ABOUT = frozenset(
    {"ca", "circa", "about", "approx", "approx.", "around", "roughly", "etwa", "ungefähr", "environ", "unos"}
)
"""Words before a weight that say what a scale shows anyway: about so much."""


def take_about(draft: Draft) -> None:
    """Take the word before a weight that begins the line: "about 12.4"; "ca 12" is no calcium there."""
    if len(draft.words) > 1 and draft.key(0) in _ABOUT and draft.key(1)[:1].isdigit():
        draft.take(TokenKind.REMARK, 0, 0, f"said: {draft.text(0)}")


def take_scale_word(draft: Draft, yard: YardWords | None) -> None:
    """Take the word of the platform scale, wherever it stands; before a share it is the element."""
    word = "" if yard is None else yard.ticket_scale.word
    for index in draft.free_words():
        if not word or draft.key(index) != word:
            continue
        following = draft.key(index + 1) if draft.is_free(index + 1) else ""
        if is_number(following) and as_fraction(following) <= _MOST_PCT:
            continue
        assert yard is not None
        draft.take(TokenKind.SCALE, index, index, f"by {yard.ticket_scale.name}", value=word)


def take_weight(draft: Draft, first: int, last: int, yard: YardWords | None) -> None:
    """Take words first..last as the weight, with what is wrong about it if anything is."""
    typed, unit = draft.key(first, last), unit_of(yard)
    tared = _TARED.fullmatch(typed)
    try:
        gross_g = parse_mass_g(tared[1] if tared else typed, unit)
        tare_g = parse_mass_g(tared[2], unit, may_be_zero=True) if tared else 0
    except MassError as error:
        draft.take(TokenKind.WEIGHT, first, last, "no weight", problem=str(error))
        return
    net_g = gross_g - tare_g
    is_on_platform = _is_on_platform(draft, gross_g, yard)
    meaning = format_mass(net_g, unit)
    if tared:
        meaning = f"{meaning} net of {format_mass(tare_g, unit)} tare"
    elif not is_number(typed) and not meaning.endswith(typed.lstrip("+-0123456789., ")):
        meaning = f"{meaning} ({draft.text(first, last)})"
    problem = _problem(gross_g, tare_g, is_on_platform, yard)
    weighed = Weighed(net_g=net_g, weighings=2 if tared else 1, is_on_platform=is_on_platform)
    draft.take(TokenKind.WEIGHT, first, last, meaning, problem=problem, value=None if problem else weighed)


def _is_on_platform(draft: Draft, gross_g: int, yard: YardWords | None) -> bool:
    """Return whether the platform scale weighed it: by its word, or by the yard's setting for heavy ones."""
    if yard is None:
        return False
    is_heavy = gross_g > yard.piece_scale.largest_g and yard.ticket_scale.weighs_heavy_pieces
    return is_heavy or bool(draft.of_kind(TokenKind.SCALE))


def _problem(gross_g: int, tare_g: int, is_on_platform: bool, yard: YardWords | None) -> str:
    """Return what is wrong about a weight, the way out first; empty where nothing is."""
    unit = unit_of(yard)
    if gross_g <= tare_g:
        heavy, light = format_mass(gross_g, unit), format_mass(tare_g, unit)
        return f"type gross-tare, the heavier first: {heavy} is not above the tare of {light}"
    if yard is None:
        return ""
    scale = yard.ticket_scale if is_on_platform else yard.piece_scale
    if gross_g <= scale.largest_g:
        return ""
    way = "look at the point and the unit"
    if not is_on_platform and yard.ticket_scale.word and gross_g <= yard.ticket_scale.largest_g:
        way = f"type {yard.ticket_scale.word} too if the {yard.ticket_scale.name} weighed it"
    largest = format_mass(scale.largest_g, unit)
    return f"{way}: {format_mass(gross_g, unit)} is above the {largest} of the {scale.name}"
