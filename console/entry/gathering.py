"""Adds up what the words of an entry line stand for, and finds what does not agree."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from console.entry.draft import Mark
from console.entry.token_kind import TokenKind
from console.entry.words_abroad import ATTACHED
from console.readings.element_readings import ElementValue
from grade_library.errors import ObservationError
from grade_library.facts import BenchFacts, Claim, Form, PieceFacts, Reading, Shot, Surface
from grade_library.technique import Profile

_FIELDS: dict[TokenKind, tuple[str, str]] = {
    TokenKind.MAGNET: ("magnet", "magnet"),
    TokenKind.COLOUR: ("colour", "surface colour"),
    TokenKind.SCRATCH: ("scratch", "scratch colour"),
    TokenKind.HEFT: ("heft", "heft"),
    TokenKind.FORM: ("form", "form"),
    TokenKind.SPARK: ("spark", "spark"),
    TokenKind.DENSITY: ("density_g_cm3", "density"),
    TokenKind.CONDUCTIVITY: ("iacs_pct", "conductivity"),
    TokenKind.WEIGHT: ("", "weight"),
    TokenKind.SCALE: ("", "scale"),
    TokenKind.COUNT: ("", "count"),
    TokenKind.BAY: ("", "bay"),
    TokenKind.TECHNIQUE: ("", "technique"),
}
"""Kind of which a line has one -> field of BenchFacts (if it is one), and what to call it."""


REST_SIGMA_WT_PCT = 0.5
"""Certificates leave out what is little: how well a rest is known [wt %] (memory)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Gathered:
    """The sum of a line."""

    mass_g: int | None
    weighings: int
    is_on_platform: bool
    count: int
    facts: PieceFacts
    bay_code: str | None
    is_hold: bool
    problems: dict[int, str]
    """Index of a mark -> what does not agree."""


@dataclass(slots=True)
class _Basket:
    """Values picked up so far."""

    single: dict[TokenKind, Mark] = field(default_factory=dict)
    surfaces: set[Surface] = field(default_factory=set)
    has_attachments: bool = False
    claim: Claim | None = None
    is_hold: bool = False
    problems: dict[int, str] = field(default_factory=dict)


def gather(marks: Sequence[Mark], usual_technique: str, techniques: Mapping[str, Profile]) -> Gathered:
    """Return the sum of a line's marks, given in the order typed.

    Args:
        marks: What the words were taken for.
        usual_technique: Technique of a reading where the line names none.
        techniques: Name -> profile, for what "not found" means.
    """
    basket = _Basket()
    for index, mark in enumerate(marks):
        if mark.problem:
            continue
        problem = _add(basket, mark)
        if problem:
            basket.problems[index] = problem
    technique = _single(basket, TokenKind.TECHNIQUE, usual_technique)
    shots = _shots(marks, techniques[technique], basket.problems)
    weighed = _single(basket, TokenKind.WEIGHT, None)
    bench = BenchFacts(
        surfaces=frozenset(basket.surfaces),
        has_attachments=basket.has_attachments,
        **{name: _single(basket, kind, None) for kind, (name, _) in _FIELDS.items() if name},
    )
    if basket.claim is None:
        basket.claim = next((mark.usual for mark in marks if mark.usual is not None), None)
    if bench.form is None and basket.claim is not None and basket.claim.form is not None:
        bench = replace(bench, form=basket.claim.form)
    return Gathered(
        mass_g=weighed.net_g if weighed else None,
        weighings=weighed.weighings if weighed else 1,
        is_on_platform=weighed is not None and weighed.is_on_platform,
        count=_single(basket, TokenKind.COUNT, 1),
        facts=PieceFacts(shots=shots, bench=bench, claim=basket.claim),
        bay_code=_single(basket, TokenKind.BAY, None),
        is_hold=basket.is_hold,
        problems=basket.problems,
    )


def _single(basket: _Basket, kind: TokenKind, default: Any) -> Any:
    mark = basket.single.get(kind)
    return default if mark is None else mark.value


def _add(basket: _Basket, mark: Mark) -> str:
    """Add one mark; return what does not agree with an earlier one."""
    if mark.kind is TokenKind.SURFACE:
        if mark.value == ATTACHED:
            basket.has_attachments = True
        else:
            basket.surfaces.add(mark.value)
    elif mark.kind is TokenKind.HOLD:
        basket.is_hold = True
    elif mark.kind is TokenKind.CLAIM:
        return _add_claim(basket, mark.value)
    elif mark.kind is TokenKind.FORM and mark.kind in basket.single:
        return _add_form(basket, mark)
    elif mark.kind in _FIELDS:
        earlier = basket.single.setdefault(mark.kind, mark)
        if earlier.value != mark.value or (earlier is not mark and mark.kind is TokenKind.WEIGHT):
            return f"keep one {_FIELDS[mark.kind][1]}: {mark.meaning} stands after {earlier.meaning}"
    return ""


_MAKING = frozenset({Form.CASTING, Form.FORGING})
_MADE_INTO = frozenset({Form.FITTING, Form.WHEEL, Form.TOOL, Form.FASTENER, Form.STRUCTURAL, Form.RADIATOR})


def _add_form(basket: _Basket, mark: Mark) -> str:
    """Let "valve" and "casting" stand together: how it was made tells more of the grade than what it is."""
    earlier = basket.single[TokenKind.FORM]
    if earlier.value in _MADE_INTO and mark.value in _MAKING:
        basket.single[TokenKind.FORM] = mark
        return ""
    if mark.value == earlier.value or (earlier.value in _MAKING and mark.value in _MADE_INTO):
        return ""
    return f"keep one form: {mark.meaning} stands after {earlier.meaning}"


def _add_claim(basket: _Basket, claim: Claim) -> str:
    """Narrow the claim to what both names can mean."""
    earlier = basket.claim
    if earlier is None:
        basket.claim = claim
        return ""
    if bool(earlier.material_ids) != bool(claim.material_ids):
        # A word for the metal beside the name of a thing says what it is made of: "copper" with
        # "transformer".
        basket.claim = earlier if earlier.material_ids else claim
        return ""
    if earlier.material_ids:
        return _add_material(basket, earlier, claim)
    both = earlier.grade_ids & claim.grade_ids
    if not both:
        return f"keep one name: no grade is both {earlier.label} and {claim.label}"
    narrower = claim if len(claim.grade_ids) <= len(earlier.grade_ids) else earlier
    basket.claim = replace(
        narrower,
        text=f"{earlier.text} {claim.text}",
        grade_ids=both,
        is_exact=earlier.is_exact and claim.is_exact,
    )
    return ""


def _add_material(basket: _Basket, earlier: Claim, claim: Claim) -> str:
    """Narrow the claim to the things that both names can mean."""
    both = tuple(one for one in earlier.material_ids if one in claim.material_ids)
    if not both:
        return f"keep one name: nothing is both {earlier.label} and {claim.label}"
    narrower = claim if len(claim.material_ids) <= len(earlier.material_ids) else earlier
    basket.claim = replace(narrower, text=f"{earlier.text} {claim.text}", material_ids=both)
    return ""


def _shots(marks: Sequence[Mark], profile: Profile, problems: dict[int, str]) -> tuple[Shot, ...]:
    """Return the shots in the order typed; one that cannot be is left out and its last word says why."""
    shots: list[Shot] = []
    current: dict[str, ElementValue] = {}
    is_ground, last = False, 0
    for index, mark in enumerate(marks):
        if mark.kind is TokenKind.SHOT:
            _close_shot(shots, current, profile, is_ground, last, problems)
            is_ground = mark.value or (is_ground and not current)
            current = {}
        elif mark.kind is TokenKind.READING:
            last = index
            twice = [value.symbol for value in mark.value if value.symbol in current]
            if twice:
                problems[index] = f"/ starts the next shot: {twice[0]} stands twice in this one"
            if not mark.problem and not twice:
                current.update({value.symbol: value for value in mark.value})
    _close_shot(shots, current, profile, is_ground, last, problems)
    return tuple(shots)


def _close_shot(
    shots: list[Shot],
    values: dict[str, ElementValue],
    profile: Profile,
    is_ground: bool,
    last: int,
    problems: dict[int, str],
) -> None:
    """Add the shot that ends here, if it holds anything."""
    if not values:
        return
    measured = {s: v.value for s, v in values.items() if not v.is_below and v.value is not None}
    rest = [s for s, v in values.items() if v.is_rest]
    below = {s: profile.model(s).lod if v.value is None else v.value for s, v in values.items() if v.is_below}
    sigma = {s: v.sigma for s, v in values.items() if v.sigma is not None and not v.is_below}
    if rest:
        left = 100.0 - math.fsum(measured.values())
        if len(rest) > 1 or left <= 0.0:
            named = " and ".join(rest)
            why = "one element is the rest" if len(rest) > 1 else f"the others come to {100.0 - left:g} %"
            problems.setdefault(last, f"{named} the rest: {why}")
            return
        measured[rest[0]], sigma[rest[0]] = left, REST_SIGMA_WT_PCT
    try:
        reading = Reading(values=measured, below=below, sigma=sigma, technique=profile.key)
    except ObservationError as error:
        problems.setdefault(last, str(error))
        return
    shots.append(Shot(reading=reading, is_ground=is_ground))
