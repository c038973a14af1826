"""The bays of a yard with their rules, overlaps and gaps, as text and for machines."""

import textwrap
from collections.abc import Iterable, Iterator
from itertools import groupby
from typing import Any

from console.ground.figures import many
from console.ground.mass import format_mass
from console.yard.placing.gaps import Part, Survey
from console.yard.yard import Bay, Yard
from grade_library.elements import ELEMENTS
from grade_library.loading.notation import write_limit

_INDENT = 4
_HEAD = 9
"""Columns of the word that heads a rule: "refuses"."""
_MOST_NAMED = 8
"""Most grades of a part that are named one by one."""


def bays_text(yard: Yard, survey: Survey, width: int = 80) -> list[str]:
    """Return the bays, what several of them take and what none takes, as lines no wider than the width.

    Args:
        yard: The bays.
        survey: How they cover the grade library.
        width: Columns, at least 40.
    """
    lines = [f"{yard.name}: {len(yard.bays)} bays, {survey.taken} of {survey.total} grades have a place"]
    for bay in yard.bays:
        lines += ["", *bay_lines(bay, yard, width)]
    lines += ["", "metal that several bays take, the dearest first"]
    lines += _by_family(survey.overlaps, width) or ["    none"]
    lines += ["", "gaps: metal that no bay takes"]
    lines += _by_family(survey.gaps, width) or ["    none"]
    return lines


def bay_lines(bay: Bay, yard: Yard, width: int = 80) -> list[str]:
    """Return one bay with its rules."""
    lines = [f"{bay.code} {bay.name}"[:width]]
    if bay.is_hold:
        return [*lines, " " * _INDENT + "undecided pieces wait here, each with a tag"]
    for head, said in _rules(bay, yard):
        lines += _wrapped(head, said, width)
    return lines


def _rules(bay: Bay, yard: Yard) -> Iterator[tuple[str, str]]:
    yield "takes", f"{', '.join(bay.accepts)} ({_count(bay)})"
    if refusals := refusal_words(bay):
        yield "refuses", "; ".join(refusals)
    if bay.chemistry:
        limits = ", ".join(f"{symbol} {write_limit(limit)}" for symbol, limit in bay.chemistry.items())
        yield "buyer", f"wants of the whole bay {limits} [wt %]"
    if yard.show_money:
        yield "price", _prices(bay, yard)
    if bay.refused_to:
        yield "refused", f"goes to {bay.refused_to}"
    weights = [("bale", bay.bale_g), ("bay full at", bay.capacity_g)]
    if said := ", ".join(
        f"{word} {format_mass(g, yard.weight_unit)}" for word, g in weights if g is not None
    ):
        yield "weight", said


def refusal_words(bay: Bay) -> list[str]:
    """Return what the bay refuses, one rule each: "2xxx, 7xxx", "a piece with Cu above 0.4", "painted"."""
    said = [", ".join(bay.refuses)] if bay.refuses else []
    said += [f"{ELEMENTS[symbol].name} at all" for symbol in sorted(bay.refused_elements)]
    if bay.element_limits:
        limits = ", ".join(f"{symbol} above {most:g}" for symbol, most in bay.element_limits.items())
        said.append(f"a piece with {limits} [wt %]")
    for words in (bay.refused_surfaces, bay.refused_coatings, bay.refused_forms):
        if words:
            said.append(", ".join(sorted(words)))
    return [*said, "attachments"] if bay.refuses_attachments else said


def _prices(bay: Bay, yard: Yard) -> str:
    unit = f"{yard.currency}/kg".lstrip("/") if yard.currency else "a kg"
    said = [f"sells at {bay.price_per_kg:.2f}"]
    if bay.buying_per_kg is not None:
        said.append(f"bought at {bay.buying_per_kg:.2f}")
    said.append(f"downgraded {bay.downgrade_per_kg:.2f} {unit}")
    if bay.buying_per_kg is not None and bay.buying_per_kg > bay.price_per_kg:
        said.append("SELLS BELOW WHAT IS PAID FOR IT")
    return ", ".join(said)


def _wrapped(head: str, said: str, width: int) -> list[str]:
    lead = " " * _INDENT + head.ljust(_HEAD)
    return textwrap.wrap(
        said, width, initial_indent=lead, subsequent_indent=" " * len(lead), break_on_hyphens=False
    )


def _by_family(parts: Iterable[Part], width: int) -> list[str]:
    lines: list[str] = []
    for group, members in groupby(parts, key=lambda part: part.group):
        lines.append(f"  {group}")
        for alike in _alike(members):
            lines += textwrap.wrap(
                _part_words(alike),
                width,
                initial_indent=" " * _INDENT,
                subsequent_indent=" " * (2 * _INDENT),
                break_on_hyphens=False,
            )
    return lines


def _alike(parts: Iterable[Part]) -> list[list[Part]]:
    """Put whole series of one family that share their bays together; every other part stays alone."""
    whole: dict[tuple[str, tuple[str, ...]], list[Part]] = {}
    found: list[list[Part]] = []
    for part in parts:
        key = (part.family, part.bay_codes)
        if part.is_whole and key in whole:
            whole[key].append(part)
            continue
        found.append([part])
        if part.is_whole:
            whole[key] = found[-1]
    return found


def _part_words(alike: list[Part]) -> str:
    """Return what parts are and which bays it concerns: "leaded brass, all 34: YBR AMX"."""
    part, of = alike[0], sum(one.of for one in alike)
    if part.is_whole:
        label = ", ".join([part.label, *(one.series for one in alike[1:])])
        said = f"{label}, all {of}" if of > 1 else f"{label} ({part.grade_ids[0]})"
    else:
        more = len(part.grade_ids) - _MOST_NAMED
        named = ", ".join(part.grade_ids[:_MOST_NAMED]) + (f" and {more} more" if more > 0 else "")
        said = f"{part.label}, {len(part.grade_ids)} of {of} ({named})"
    return f"{said}: {' '.join(part.bay_codes)}" if part.bay_codes else said


def _count(bay: Bay) -> str:
    materials = len(bay.taken_ids & bay.material_ids)
    grades = len(bay.taken_ids) - materials
    counted = ((grades, "grade"), (materials, "material"))
    said = [many(count, word, f"{word}s") for count, word in counted if count]
    return " and ".join(said) or "no grade"


def bays_json(yard: Yard, survey: Survey) -> dict[str, Any]:
    """Return bays, overlaps and gaps for machines, JSON-ready; money is left out where the yard hides it."""
    return {
        "yard": yard.name,
        "grades": survey.total,
        "grades_taken": survey.taken,
        "bays": [bay_json(bay, yard) for bay in yard.bays],
        "overlaps": [_part_json(part, "bays") for part in survey.overlaps],
        "gaps": [_part_json(part, "refused_by") for part in survey.gaps],
    }


def bay_json(bay: Bay, yard: Yard) -> dict[str, Any]:
    """Return one bay for machines; the keys are those of yard.toml, weights in kg."""
    row: dict[str, Any] = {
        "code": bay.code,
        "name": bay.name,
        "is_hold": bay.is_hold,
        "accepts": list(bay.accepts),
        "refuses": list(bay.refuses),
        "grades": sorted(bay.taken_ids - bay.material_ids),
        "materials": sorted(bay.taken_ids & bay.material_ids),
        "element_limits_wt_pct": dict(bay.element_limits),
        "refuses_at_all": sorted(bay.refused_elements),
        "refused_surfaces": sorted(bay.refused_surfaces),
        "refused_coatings": sorted(bay.refused_coatings),
        "refused_forms": sorted(bay.refused_forms),
        "refuses_attachments": bay.refuses_attachments,
        "refused_to": bay.refused_to,
        "chemistry_wt_pct": {symbol: write_limit(limit) for symbol, limit in bay.chemistry.items()},
        "bale_kg": None if bay.bale_g is None else bay.bale_g / 1000,
        "capacity_kg": None if bay.capacity_g is None else bay.capacity_g / 1000,
    }
    if yard.show_money:
        row |= {
            "price_per_kg": bay.price_per_kg,
            "buying_per_kg": bay.buying_per_kg,
            "downgrade_per_kg": bay.downgrade_per_kg,
        }
    return row


def _part_json(part: Part, bays: str) -> dict[str, Any]:
    return {
        "group": part.group,
        "family": part.family,
        "series": part.series,
        "grades": list(part.grade_ids),
        "of": part.of,
        bays: list(part.bay_codes),
    }
