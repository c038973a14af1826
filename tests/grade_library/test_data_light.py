"""The shipped figures of the light metals, zinc, lead and tin: counts, sums, limits known from standards."""

import math
import re

import pytest

from grade_library.grade import Colour, Grade, Limit, MagneticClass
from grade_library.library import load
from grade_library.loading.notation import read_limit

FAMILIES = ["aluminium wrought", "aluminium cast", "magnesium", "titanium", "zinc", "lead", "tin"]

# family: grades, sum of all stated maxima [wt %], sum of all stated minima [wt %], sum of densities [g/cm3].
# A deliberate correction changes its row here in the same commit; a slipped digit shows.
PINNED = {
    "aluminium wrought": (206, 1268.99, 2735.12, 561.12),
    "aluminium cast": (141, 2006.49, 1277.36, 383.24),
    "aluminium-tin bearing metal": (2, 38.10, 24.40, 5.93),
    "magnesium": (54, 405.31, 399.13, 97.45),
    "titanium": (54, 612.55, 457.90, 246.08),
    "zinc": (27, 204.80, 571.15, 176.68),
    "lead": (31, 408.11, 716.25, 330.09),
    "tin": (27, 1258.35, 1351.58, 204.17),
    "fusible alloy": (8, 361.50, 442.40, 70.78),
    "master alloy": (21, 318.50, 219.80, 106.90),
    "minor metal": (11, 188.55, 1000.20, 67.65),
}

# grade, element, limit as a grade file writes it, where it stands (recalled, not copied from the grade files)
KNOWN_LIMITS = [
    ("6061", "Mg", "0.8-1.2", "ASTM B209/B221 table 1, alloy 6061"),
    ("6061", "Cu", "0.15-0.4", "ASTM B209/B221 table 1, alloy 6061"),
    ("6063", "Si", "0.2-0.6", "ASTM B221 table 1, alloy 6063"),
    ("2024", "Cu", "3.8-4.9", "ASTM B209 table 1, alloy 2024"),
    ("7075", "Zn", "5.1-6.1", "ASTM B209 table 1, alloy 7075"),
    ("5052", "Mg", "2.2-2.8", "ASTM B209 table 1, alloy 5052"),
    ("3003", "Mn", "1-1.5", "ASTM B209 table 1, alloy 3003"),
    ("1050A", "Al", ">=99.5", "EN 573-3, EN AW-1050A"),
    ("6082", "Mn", "0.4-1", "EN 573-3, EN AW-6082"),
    ("A356.0", "Si", "6.5-7.5", "ASTM B26 table 1, alloy A356.0"),
    ("A356.0", "Fe", "<=0.2", "ASTM B26 table 1, alloy A356.0"),
    ("380.0", "Zn", "<=3", "ASTM B85 table 1, alloy 380.0"),
    ("EN AC-46000", "Cu", "2-4", "EN 1706 table 1, EN AC-46000"),
    ("AZ91D", "Al", "8.3-9.7", "ASTM B94 table 1, alloy AZ91D"),
    ("AZ31B", "Zn", "0.6-1.4", "ASTM B90/B107 table 1, alloy AZ31B"),
    ("Ti Grade 2", "O", "<=0.25", "ASTM B265 table 2, grade 2"),
    ("Ti-6Al-4V", "V", "3.5-4.5", "ASTM B265 table 2, grade 5"),
    ("Zamak 5", "Cu", "0.75-1.25", "ASTM B86, editions before 2013, alloy AC41A"),
    ("Babbitt 2", "Sb", "7-8", "ASTM B23 table 1, alloy 2"),
    ("Sn63Pb37", "Sn", "62.5-63.5", "ASTM B32 table 5, alloy Sn63"),
]

# purer or narrower grade, element, wider grade: the second may hold more of the element (common practice)
TIGHTER_THAN = [
    ("A356.0", "Fe", "356.0"),
    ("C355.0", "Fe", "355.0"),
    ("A380.0", "Fe", "380.0"),
    ("A206.0", "Fe", "206.0"),
    ("7475", "Fe", "7175"),
    ("7175", "Fe", "7075"),
    ("2124", "Si", "2024"),
    ("2524", "Fe", "2124"),
    ("AZ91D", "Cu", "AZ91C"),
    ("AZ91E", "Ni", "AZ91C"),
    ("AM60B", "Ni", "AM60A"),
    ("Ti Grade 1", "O", "Ti Grade 2"),
    ("Ti-6Al-4V ELI", "O", "Ti-6Al-4V"),
    ("Zinc 99.995", "Fe", "Zinc 99.99"),
    ("Lead 99.97", "Bi", "Lead 99.94"),
]

UNS_LETTER = {"aluminium": "A", "magnesium": "M", "titanium": "R", "zinc": "Z", "lead": "L", "tin": "L"}


def grades_of(family: str) -> list[Grade]:
    return [grade for grade in load().grades if grade.family == family]


def most(limit: Limit) -> float:
    return 100.0 if limit.high is None else limit.high


def least(limit: Limit) -> float:
    return 0.0 if limit.low is None else limit.low


@pytest.mark.parametrize("family", PINNED)
def test_counts_and_column_sums_are_as_pinned(family: str) -> None:
    """No grade is lost and no digit slips without this test saying so."""
    grades = grades_of(family)
    limits = [limit for grade in grades for limit in grade.limits.values() if limit.nominal is None]

    count, maxima, minima, densities = PINNED[family]

    assert len(grades) == count
    assert math.fsum(x.high for x in limits if x.high is not None) == pytest.approx(maxima, abs=0.0051)
    assert math.fsum(x.low for x in limits if x.low is not None) == pytest.approx(minima, abs=0.0051)
    assert math.fsum(g.density_g_cm3 for g in grades) == pytest.approx(densities, abs=0.0051)


@pytest.mark.parametrize(("grade_id", "element", "limit", "standard"), KNOWN_LIMITS)
def test_limit_is_the_one_of_the_standard(grade_id: str, element: str, limit: str, standard: str) -> None:
    """Well-known limits stand in the library as the standard states them."""
    assert load().grade(grade_id).limits[element] == read_limit(limit), standard


@pytest.mark.parametrize(("tighter", "element", "wider"), TIGHTER_THAN)
def test_a_purer_sibling_allows_less(tighter: str, element: str, wider: str) -> None:
    """The high-purity version of a grade has the lower maximum of its impurity."""
    library = load()

    assert most(library.grade(tighter).limits[element]) < most(library.grade(wider).limits[element])


@pytest.mark.parametrize(
    "casting", ["Zamak 3", "Zamak 5", "ZA-8", "ZA-12", "ZA-27", "AZ91D", "AM60B", "AZ81A"]
)
def test_ingot_alloying_range_lies_within_that_of_its_castings(casting: str) -> None:
    """Aluminium and zinc of the ingot leave room on both sides for what the melt gains and loses."""
    part, ingot = load().grade(casting), load().grade(f"{casting} ingot")
    alloying = [symbol for symbol in ("Al", "Zn") if not part.limits[symbol].is_rest]

    assert ingot.is_cast
    for symbol in alloying:
        assert least(part.limits[symbol]) <= least(ingot.limits[symbol]), symbol
        assert most(ingot.limits[symbol]) <= most(part.limits[symbol]), symbol


@pytest.mark.parametrize("family", FAMILIES)
def test_every_grade_is_non_magnetic_and_named_for_its_metal(family: str) -> None:
    """None of these metals answers a hand magnet, and a UNS number starts with the letter of its metal."""
    for grade in grades_of(family):
        assert grade.magnet is MagneticClass.NON, grade.grade_id
        assert grade.uns is None or grade.uns[0] == UNS_LETTER[grade.group], grade.grade_id


@pytest.mark.parametrize("alloy", ["Zamak 2", "Zamak 3", "Zamak 5", "Zamak 7", "ZA-8", "ZA-12", "ZA-27"])
def test_zinc_castings_and_ingot_are_of_one_edition(alloy: str) -> None:
    """No limit of a casting is tighter than that of its ingot, as mixed editions of ASTM B86 had it."""
    part, ingot = load().grade(alloy), load().grade(f"{alloy} ingot")

    for symbol in ("Fe", "Pb", "Cd", "Sn"):
        assert most(ingot.limits[symbol]) <= most(part.limits[symbol]), symbol
    assert "One edition" in part.note


def test_scratch_colours_are_those_of_the_base() -> None:
    """Aluminium and tin show white, lead blue grey, zinc and titanium grey (common practice)."""
    shown = {
        "6061": Colour.WHITE,
        "Sn63Pb37": Colour.WHITE,
        "Lead 99.97": Colour.BLUE_GREY,
        "Zamak 3": Colour.GREY,
    }

    assert {grade_id: load().grade(grade_id).colour for grade_id in shown} == shown


@pytest.mark.parametrize(
    ("grade_id", "sums", "each", "total"),
    [
        ("1100", {"Si+Fe": "<=0.95"}, 0.05, 0.15),
        ("6005A", {"Mn+Cr": "0.12-0.5"}, 0.05, 0.15),
        ("7020", {"Zr+Ti": "0.08-0.25"}, 0.05, 0.15),
        ("1350", {"V+Ti": "<=0.02"}, 0.03, 0.10),
    ],
)
def test_sums_and_unnamed_elements(grade_id: str, sums: dict[str, str], each: float, total: float) -> None:
    """Limits on two elements together and on unnamed ones are kept (AA registration record, EN 573-3)."""
    grade = load().grade(grade_id)

    assert dict(grade.sums) == {symbols: read_limit(text) for symbols, text in sums.items()}
    assert (grade.others_each, grade.others_total) == (each, total)


def test_silicon_tied_to_magnesium_is_spelt_out() -> None:
    """6053 states silicon as 45 to 65 % of its magnesium 1.1-1.4; the range is written out, not left open."""
    silicon = load().grade("6053").limits["Si"]

    assert least(silicon) == pytest.approx(0.45 * 1.1, abs=0.02)
    assert most(silicon) == pytest.approx(0.65 * 1.4, abs=0.02)


def _main_addition(grade: Grade) -> str:
    """Return the series of the Aluminum Association's system for castings that its limits put a grade in."""
    middle = {s: 0.5 * ((x.low or 0.0) + (x.high or 0.0)) for s, x in grade.limits.items() if x.low}
    main = max(middle, key=lambda symbol: middle[symbol] if symbol in {"Cu", "Si", "Mg", "Zn", "Sn"} else 0.0)
    has_beside = middle.get("Cu", 0.0) > 0.0 or middle.get("Mg", 0.0) > 0.0
    by_main = {"Cu": "2xx", "Si": "3xx" if has_beside else "4xx", "Mg": "5xx", "Zn": "7xx", "Sn": "8xx"}
    return by_main[main]


def test_every_aluminium_casting_is_of_a_series() -> None:
    """Castings are sorted by their main addition, whichever country names them: 2xx Cu, 3xx Si with Cu or Mg,
    4xx Si, 5xx Mg, 7xx Zn, 8xx Sn (ANSI H35.1, memory); an American number says it by its first digit."""
    castings = [grade for grade in load().grades if grade.family == "aluminium cast"]

    american = [g for g in castings if re.fullmatch(r"[A-Z]?\d{3}\.\d", g.grade_id)]
    others = [g for g in castings if g not in american]

    assert len(american) > 60 and len(others) > 60
    assert {g.grade_id: g.series for g in american} == {
        g.grade_id: f"{g.grade_id.lstrip('ABCEF')[0]}xx" for g in american
    }
    differing = {g.grade_id: (g.series, _main_addition(g)) for g in others if g.series != _main_addition(g)}
    assert differing == {}
