"""Metal that comes to a yard beside scrap, by typical analyses of lots: ferroalloys and metals of no alloy.

Source of every analysis: memory (typical lot analysis, as such lots are sold; common practice); no document
was seen. No analysis was taken from the limits of the grade files.
"""

from functools import cache

import pytest

from console.entry.parse import parse_line
from console.yard.placing.place import place
from console.yard.placing.placement import Placement, Sureness
from console.yard.yard import Yard
from grade_library.cautions import cautions_for
from grade_library.facts import PieceFacts, Reading, Shot
from grade_library.library import GradeLibrary, load
from grade_library.matcher.matching import identify
from grade_library.naming.names import NameIndex
from grade_library.technique import profiles
from grade_library.verdict import Verdict
from tests.conftest import DEMO_YARD
from tests.yards import load_yard

LOTS = [
    # grade or series, what a laboratory finds in a lot [wt %]
    ("ferrosilicon", {"Fe": 22.5, "Si": 75.3, "Al": 1.3, "Ca": 0.4, "C": 0.1, "Mn": 0.2, "Ti": 0.1}),
    ("ferrosilicon", {"Fe": 51.8, "Si": 46.5, "Al": 0.9, "Mn": 0.4, "Cr": 0.2, "C": 0.1}),
    ("ferromanganese", {"Mn": 76.4, "Fe": 15.4, "C": 7.0, "Si": 0.9, "P": 0.2}),
    ("ferromanganese", {"Mn": 81.2, "Fe": 16.5, "C": 1.4, "Si": 0.7, "P": 0.15}),
    ("silicomanganese", {"Mn": 65.8, "Si": 17.1, "Fe": 15.0, "C": 1.8, "P": 0.15}),
    ("ferrochrome", {"Cr": 65.4, "Fe": 25.9, "C": 7.4, "Si": 1.2}),
    ("ferrochrome", {"Cr": 51.2, "Fe": 38.1, "C": 6.9, "Si": 3.6}),
    ("ferrochrome", {"Cr": 69.8, "Fe": 29.2, "C": 0.06, "Si": 0.8}),
    ("ferrosilicochromium", {"Si": 42.0, "Cr": 35.5, "Fe": 22.3, "C": 0.05}),
    ("ferromolybdenum", {"Mo": 65.7, "Fe": 32.8, "Si": 0.8, "Cu": 0.5, "C": 0.05}),
    ("ferrovanadium", {"V": 80.2, "Fe": 17.6, "Al": 1.2, "Si": 0.9}),
    ("ferroniobium", {"Nb": 65.8, "Fe": 30.4, "Si": 2.0, "Al": 0.8, "Ti": 0.5, "Ta": 0.2, "Mn": 0.3}),
    ("ferrotungsten", {"W": 77.5, "Fe": 21.4, "Si": 0.5, "Mn": 0.3, "C": 0.1}),
    ("ferrotitanium", {"Ti": 70.3, "Fe": 25.2, "Al": 3.1, "V": 1.0, "Sn": 0.1, "Si": 0.2}),
    ("ferrotitanium", {"Ti": 36.0, "Fe": 53.0, "Al": 6.5, "Si": 3.5, "Mn": 0.8}),
    ("ferrophosphorus", {"Fe": 71.5, "P": 24.6, "Si": 1.2, "Ti": 1.3, "Mn": 0.4, "C": 0.4}),
    ("calcium silicide", {"Si": 60.3, "Ca": 30.4, "Fe": 6.9, "Al": 1.3, "C": 0.8}),
    ("Silicon", {"Si": 98.9, "Fe": 0.5, "Al": 0.4, "Ca": 0.1}),
    ("Manganese", {"Mn": 99.8, "Fe": 0.05}),
    ("Manganese", {"Mn": 96.3, "Fe": 2.1, "Si": 1.2, "C": 0.1}),
    ("Antimony", {"Sb": 99.6, "Pb": 0.2, "As": 0.1}),
    ("Selenium", {"Se": 99.8}),
    ("Tellurium", {"Te": 99.9}),
    ("Cadmium metal", {"Cd": 99.9, "Pb": 0.03}),
    ("Indium", {"In": 99.98}),
    ("Gallium", {"Ga": 99.99}),
    ("Germanium", {"Ge": 99.99}),
    ("Mischmetal", {"Ce": 51.0, "La": 27.5, "Nd": 15.8, "Pr": 5.1, "Fe": 0.4}),
    ("Mischmetal", {"Ce": 64.8, "La": 34.6, "Fe": 0.4}),
    ("Ferrocerium", {"Ce": 40.0, "La": 22.0, "Nd": 7.0, "Pr": 3.0, "Fe": 24.0, "Mg": 4.0}),
    ("Rhodium metal", {"Rh": 99.9}),
    ("Ruthenium", {"Ru": 99.9}),
    ("Iridium", {"Ir": 99.9}),
    ("Dental amalgam alloy", {"Ag": 69.5, "Sn": 26.1, "Cu": 3.5, "Zn": 0.8}),
    ("Dental amalgam alloy", {"Ag": 59.0, "Sn": 28.0, "Cu": 13.0}),
    ("AlSn20Cu", {"Al": 78.6, "Sn": 20.1, "Cu": 0.95, "Fe": 0.2, "Si": 0.15}),
    ("AgNi 80-20", {"Ag": 80.2, "Ni": 19.7}),
    ("AgW 35-65", {"W": 65.2, "Ag": 34.6}),
    ("AlSi50", {"Al": 49.6, "Si": 49.8, "Fe": 0.4}),
    ("AlTi5B1", {"Al": 93.7, "Ti": 5.0, "B": 1.0, "Fe": 0.15}),
    ("AlMn20", {"Al": 79.4, "Mn": 20.2, "Fe": 0.25}),
    ("CuP15", {"Cu": 85.2, "P": 14.7}),
    ("CuMn30", {"Cu": 69.5, "Mn": 30.2, "Fe": 0.2}),
    ("CuSi20", {"Cu": 83.6, "Si": 16.1, "Fe": 0.2}),
    ("CuSn22", {"Cu": 77.7, "Sn": 22.0, "Pb": 0.15, "Ni": 0.1}),
]
"""What is named is a grade, or a series where grades differ by what was not read."""
FAMILIES = ("ferroalloy", "minor metal", "master alloy", "aluminium-tin bearing metal")
"""Families that stand in the library for these metals alone."""
STEEL_BAYS = {"FER", "STN", "STM", "SFC"}


@cache
def left_library() -> GradeLibrary:
    """The library as if nobody had thought of such metal."""
    library = load()
    named = {name for name, _ in LOTS}
    grades = [g for g in library.grades if g.family not in FAMILIES and g.grade_id not in named]
    return GradeLibrary(grades, library.sources)


@cache
def demo_yard() -> Yard:
    """The demo yard."""
    return load_yard(DEMO_YARD, load())


def read(lot: dict[str, float], technique: str) -> PieceFacts:
    """Return what the technique reads of a lot without noise: unseen elements dropped, the others as a
    whole."""
    unseen = profiles()[technique].unseen
    seen = {symbol: x for symbol, x in lot.items() if symbol not in unseen}
    values = {symbol: 100.0 * x / sum(seen.values()) for symbol, x in seen.items()}
    return PieceFacts(shots=(Shot(reading=Reading(values=values, technique=technique)),))


def judged(
    lot: dict[str, float], technique: str, library: GradeLibrary, yard: Yard
) -> tuple[Verdict, Placement]:
    """Return what a lot is and where it should go."""
    facts = read(lot, technique)
    verdict = identify(facts, library)
    return verdict, place(verdict, facts, 4000, yard)


TECHNIQUES = ("lab", "xrf", "libs")
UNREAD = {
    ("ferrophosphorus", "libs"),
    ("CuP15", "libs"),
    ("Selenium", "libs"),
    ("Cadmium metal", "xrf"),
    ("Cadmium metal", "libs"),
}
"""What one look cannot know: a handheld laser sees neither phosphorus nor selenium, and a surface of cadmium
is plate, but for the few ingots."""
MISSED = {
    *(("ferrosilicon 51.8", technique) for technique in TECHNIQUES),
    *(("ferrophosphorus 71.5", technique) for technique in TECHNIQUES),
    ("ferrotitanium 53", "xrf"),
    ("ferrochrome 65.4", "xrf"),
    ("ferrochrome 69.8", "xrf"),
    ("ferrochrome 69.8", "libs"),
}
"""Lots that lean to the steel bay while the library lacks them, and with which technique: iron is what they
hold most of, so that they pass for steel of no grade; or they read as steel does under hard chromium."""


def name_of(name: str, lot: dict[str, float]) -> str:
    """Return how a lot is called in this file: its grade or series, and what there is most of [wt %]."""
    return f"{name} {max(lot.values()):g}"


@pytest.mark.parametrize("technique", TECHNIQUES)
def test_metal_that_the_library_lacks_waits(technique: str) -> None:
    """Without its family no such metal is settled in a bay, nor leans to one for steel but where it is listed
    as missed."""
    placed = {name_of(*lot): judged(lot[1], technique, left_library(), demo_yard())[1] for lot in LOTS}

    assert [name for name, one in placed.items() if one.sureness is Sureness.SETTLED] == []
    to_steel = {(name, technique) for name, one in placed.items() if one.bay.code in STEEL_BAYS}
    assert to_steel == {missed for missed in MISSED if missed[1] == technique}


@pytest.mark.parametrize(
    ("name", "lot", "technique"),
    [
        pytest.param(*lot, technique, id=f"{name_of(*lot)} {technique}")
        for lot in LOTS
        for technique in TECHNIQUES
        if (lot[0], technique) not in UNREAD
    ],
)
def test_metal_that_the_library_holds_is_named(name: str, lot: dict[str, float], technique: str) -> None:
    """With its grade in the library such metal is named, and no bay for steel takes it."""
    verdict, placement = judged(lot, technique, load(), demo_yard())

    assert verdict.best is not None
    assert name in (verdict.best.grade.grade_id, verdict.best.grade.series)
    assert verdict.best.probability > 0.3
    assert placement.bay.code not in STEEL_BAYS


HARM = [
    # what is read of it, and the caution by its id (memory and common practice, named in cautions.toml)
    ({"Si": 75.3, "Fe": 22.5, "Al": 1.3}, "FESI"),
    ({"Si": 60.3, "Ca": 30.4, "Fe": 6.9}, "FESI"),
    ({"Ce": 51.0, "La": 27.5, "Nd": 15.8, "Pr": 5.1}, "FLINT"),
    ({"Ce": 40.0, "La": 22.0, "Nd": 7.0, "Pr": 3.0, "Fe": 24.0, "Mg": 4.0}, "FLINT"),
    ({"Se": 99.8}, "SE-TE"),
    ({"Te": 99.9}, "SE-TE"),
    ({"Cd": 99.9}, "CD"),
    ({"Sb": 99.6}, "AS-SB"),
    ({"Tl": 99.9}, "TL"),
    ({"Ga": 99.9}, "GA"),
    ({"Mn": 99.8}, "MN"),
]


@pytest.mark.parametrize(("lot", "caution_id"), HARM)
def test_what_such_metal_does_is_said_when_it_is_read(lot: dict[str, float], caution_id: str) -> None:
    """A reading of metal that gives off gas, sparks, poisons or eats aluminium shows the caution."""
    facts = read(lot, "lab")
    shown = cautions_for(facts=facts, verdict=identify(facts, load()))

    assert caution_id in {caution.caution_id for caution in shown}


@pytest.mark.parametrize(
    ("line", "caution_id"),
    [
        ("2 FeSi75", "FESI"),
        ("2 Ferrosilizium", "FESI"),
        ("2 CaSi30", "FESI"),
        ("0.1 lighter flints", "FLINT"),
        ("3 mischmetal", "FLINT"),
        ("1 Selenium", "SE-TE"),
        ("1 Tellurium", "SE-TE"),
        ("1 cadmium sticks", "CD"),
        ("4 Antimony", "AS-SB"),
        ("0.2 gallium", "GA"),
        ("2 manganese flakes", "MN"),
    ],
)
def test_what_such_metal_does_is_said_by_its_name(line: str, caution_id: str) -> None:
    """The same where only its name was typed."""
    parsed = parse_line(line, names=NameIndex(load()), yard=None)
    verdict = identify(parsed.facts, load())

    shown = cautions_for(facts=parsed.facts, verdict=verdict, text=line)
    assert caution_id in {caution.caution_id for caution in shown}
