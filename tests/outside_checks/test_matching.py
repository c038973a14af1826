"""Real metals named from their certified or measured composition, without noise.

Source: certified.csv beside this file, whose last column names the certificate or paper of every value; the
    grade is the
one that the source names. The thresholds are those set for real metal; what is missed is listed, not hidden.
"""

import pytest

from grade_library.facts import PieceFacts, Reading, Shot
from grade_library.library import load
from grade_library.matcher.matching import identify
from grade_library.matcher.twins import twins_of
from grade_library.technique import profiles
from tests.benchmarks.certified import Material, materials

LISTED = [material for material in materials(load()) if material.grade_id is not None]
ABSENT = [material for material in materials(load()) if material.grade_id is None]


def _facts(material: Material, technique: str) -> PieceFacts:
    """Return what the technique would read without noise: unseen elements dropped, faint ones below
    detection."""
    profile = profiles()[technique]
    whole = material.certified if technique == "lab" else material.whole
    seen = {symbol: x for symbol, x in whole.items() if symbol not in profile.unseen}
    scale = 100.0 / sum(seen.values()) if profile.normalises else min(1.0, 100.9 / sum(seen.values()))
    values = {symbol: x * scale for symbol, x in seen.items() if x * scale >= profile.model(symbol).lod}
    below = {symbol: profile.model(symbol).lod for symbol in seen if symbol not in values}
    return PieceFacts(shots=(Shot(reading=Reading(values=values, below=below, technique=technique)),))


def _rank_of_truth(material: Material, technique: str) -> int | None:
    """Return at which place, from 0, the true grade or a twin of it stands; None where it does not."""
    for place, candidate in enumerate(identify(_facts(material, technique), load()).candidates):
        if material.grade_id in {candidate.grade.grade_id, *(twin.grade_id for twin in candidate.twins)}:
            return place
    return None


def test_there_are_enough_materials() -> None:
    """All 106 materials are there, most of them of a listed grade."""
    assert len(LISTED) + len(ABSENT) == 106
    assert len(LISTED) >= 90


@pytest.mark.parametrize("technique", ["lab", "xrf", "libs"])
def test_every_real_metal_is_put_into_its_group(technique: str) -> None:
    """Stainless stays stainless, nickel nickel, whatever the technique and although some heats miss their
    own limits."""
    wrong = []
    for material in LISTED:
        verdict = identify(_facts(material, technique), load())
        twins = twins_of(load(), verdict.best.grade.grade_id, technique) if verdict.best else ()
        if material.group not in {verdict.families[0].group, *(twin.group for twin in twins)}:
            wrong.append(material.item_id)

    assert wrong == []


@pytest.mark.parametrize(
    ("technique", "first", "five"), [("lab", 0.85, 0.95), ("xrf", 0.80, 0.95), ("libs", 0.80, 0.95)]
)
def test_real_metals_are_named(technique: str, first: float, five: float) -> None:
    """Twins counted as one, so many are named first, and so many among the first five."""
    ranks = [_rank_of_truth(material, technique) for material in LISTED]
    at_once = sum(rank == 0 for rank in ranks)
    soon = sum(rank is not None and rank < 5 for rank in ranks)

    assert at_once / len(ranks) >= first
    assert soon / len(ranks) >= five


def test_metals_of_unlisted_grades_keep_their_group() -> None:
    """A single-crystal nickel alloy or a dual-phase steel that the library does not hold is an unlisted
    member of its own group, not something else and not nothing."""
    for material in ABSENT:
        verdict = identify(_facts(material, "lab"), load())
        by_group: dict[str, float] = {}
        for member in verdict.families:
            by_group[member.group] = by_group.get(member.group, 0.0) + member.probability
        best = max(by_group, key=lambda group: by_group[group])
        assert best in {material.group, "cobalt"}, material.item_id


def test_a_reading_outside_301_is_told_so() -> None:
    """Cr 23.5, Fe 67, Ni 6.5 is not inside the published limits of 301 (Cr 16-18, Ni 6-8): common
    practice."""
    reading = Reading(values={"Cr": 23.5, "Fe": 67.0, "Ni": 6.5})

    verdict = identify(PieceFacts(shots=(Shot(reading=reading),)), load())

    chances = {candidate.grade.grade_id: candidate.probability for candidate in verdict.candidates}
    assert chances.get("301", 0.0) < 0.05


# Common practice of the trade, no document: typical readings and the metal that every sorter knows by them.
TRADE = [
    ({"Cu": 99.9}, "copper"),
    ({"Cu": 61.5, "Zn": 38.4}, "brass"),
    ({"Cu": 85.0, "Sn": 5.0, "Pb": 5.0, "Zn": 5.0}, "brass"),
    ({"Cu": 88.0, "Sn": 10.0, "Zn": 2.0}, "bronze"),
    ({"Cu": 64.0, "Ni": 18.0, "Zn": 18.0}, "nickel silver"),
    ({"Cu": 88.5, "Ni": 10.0, "Fe": 1.4}, "cupronickel"),
    ({"Ni": 66.0, "Cu": 31.5, "Fe": 1.5, "Mn": 1.0}, "nickel"),
    ({"Fe": 71.0, "Cr": 18.2, "Ni": 8.2, "Mn": 1.5}, "stainless"),
    ({"Fe": 82.0, "Cr": 17.0, "Mn": 0.5}, "stainless"),
    ({"Fe": 98.5, "Mn": 0.8, "Cu": 0.2}, "steel"),
    ({"Al": 97.0, "Mg": 1.0, "Si": 0.8, "Fe": 0.4, "Cu": 0.3}, "aluminium"),
    ({"Ti": 89.5, "Al": 6.3, "V": 4.1}, "titanium"),
    ({"Zn": 95.8, "Al": 4.1}, "zinc"),
    ({"Sn": 60.0, "Pb": 40.0}, "tin"),
    ({"Pb": 97.0, "Sb": 3.0}, "lead"),
]


@pytest.mark.parametrize(("values", "group"), TRADE)
def test_typical_readings_of_the_trade(values: dict[str, float], group: str) -> None:
    """What every sorter would say of the reading, the matcher says too, and does not call it unlisted."""
    verdict = identify(PieceFacts(shots=(Shot(reading=Reading(values=values)),)), load())
    sums: dict[str, float] = {}
    for candidate in verdict.candidates:
        sums[candidate.grade.group] = sums.get(candidate.grade.group, 0.0) + candidate.probability

    assert max(sums, key=lambda key: sums[key]) == group
    assert sums[group] > 0.6
