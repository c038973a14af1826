"""The shipped figures of steels, nickel, cobalt, refractory metals and magnets: counts, sums, limits."""

import math

import pytest

from grade_library.auditing.nominal import nominal_composition
from grade_library.facts import PieceFacts, Reading, Shot
from grade_library.grade import Grade, Limit, MagneticClass
from grade_library.library import load
from grade_library.loading.notation import read_limit
from grade_library.matcher.matching import identify

# family: grades, sum of all stated maxima [wt %], sum of all stated minima [wt %], sum of densities [g/cm3];
# nominal values stay out of the sums. A deliberate correction changes its row here; a slipped digit shows.
PINNED = {
    "austenitic manganese steel": (4, 55.3500, 52.6000, 31.480),
    "austenitic stainless": (89, 3716.7860, 2967.9940, 704.740),
    "carbon steel": (71, 131.1450, 73.2250, 557.293),
    "cast heat-resistant": (26, 1365.4250, 1075.0000, 203.220),
    "cast iron": (36, 747.4550, 492.4100, 264.420),
    "cast stainless": (44, 1642.5550, 1243.0900, 340.400),
    "cemented carbide": (6, 210.0000, 79.8000, 78.900),
    "chromium-molybdenum pipe steel": (15, 109.8680, 73.5973, 117.460),
    "cobalt alloy": (29, 1554.2630, 1205.3450, 248.700),
    "controlled-expansion alloy": (5, 145.0200, 130.0000, 40.940),
    "duplex stainless": (16, 601.1200, 466.8200, 124.670),
    "electrical steel": (2, 8.1150, 3.4000, 15.300),
    "ferritic stainless": (34, 783.5950, 603.5600, 259.860),
    "ferroalloy": (31, 2306.0200, 1588.4000, 203.000),
    "free-machining steel": (25, 50.0000, 32.8000, 196.370),
    "low-alloy steel": (143, 566.5020, 368.8278, 1122.160),
    "maraging steel": (6, 198.5960, 177.6900, 47.850),
    "martensitic stainless": (31, 588.6050, 439.9700, 240.150),
    "nickel": (8, 33.9350, 502.8000, 69.122),
    "nickel superalloy": (42, 1779.7200, 1498.4480, 346.840),
    "nickel-chromium alloy": (21, 914.7770, 972.3170, 174.060),
    "nickel-copper": (4, 160.0340, 300.6750, 34.670),
    "nickel-iron-chromium alloy": (18, 1203.1370, 1146.2360, 145.310),
    "nickel-molybdenum alloy": (22, 1050.5860, 838.2700, 192.210),
    "permanent magnet": (7, 227.7000, 119.9000, 53.000),
    "precipitation-hardening stainless": (10, 280.9280, 219.0200, 77.870),
    "pure metal": (3, 1.4200, 198.8000, 23.896),
    "refractory metal": (20, 165.6736, 331.1700, 275.254),
    "shape-memory alloy": (1, 57.1750, 54.5000, 6.450),
    "soft-magnetic alloy": (6, 403.6000, 369.2500, 50.370),
    "spring steel": (8, 28.1350, 21.2200, 62.800),
    "structural steel": (60, 185.6680, 14.8550, 470.980),
    "tool steel": (107, 1575.1650, 1226.4500, 850.570),
    "tungsten heavy alloy": (4, 42.2000, 10.2000, 71.180),
    "weathering steel": (4, 12.8600, 4.7500, 31.400),
    "zirconium": (6, 26.6150, 8.2900, 39.406),
}
SUM_ROUNDING = 0.00006
"""Half of the last pinned decimal, and a little for the sum itself [wt %]."""

# grade, element, limit as a grade file writes it, where it stands (recalled, not copied from the grade files)
KNOWN_LIMITS = [
    ("304", "Ni", "8-10.5", "ASTM A240 table 1, S30400"),
    ("304L", "C", "<=0.03", "ASTM A240 table 1, S30403"),
    ("316L", "Mo", "2-3", "ASTM A240 table 1, S31603"),
    ("310S", "Cr", "24-26", "ASTM A240 table 1, S31008"),
    ("201", "Mn", "5.5-7.5", "ASTM A240 table 1, S20100"),
    ("904L", "Cu", "1-2", "ASTM A240 table 1, N08904"),
    ("430", "Cr", "16-18", "ASTM A240 table 1, S43000"),
    ("2205", "N", "0.14-0.2", "ASTM A240 table 1, S32205"),
    ("2507", "Cr", "24-26", "ASTM A240 table 1, S32750"),
    ("17-4", "Cu", "3-5", "ASTM A564 table 1, S17400"),
    ("CF8M", "Mo", "2-3", "ASTM A351 table 2, J92900"),
    ("HK40", "C", "0.35-0.45", "ASTM A351 table 2, J94204"),
    ("SAE 1045", "C", "0.43-0.5", "SAE J403 table 2, 1045"),
    ("SAE 12L14", "Pb", "0.15-0.35", "SAE J403 table 4, 12L14"),
    ("SAE 4140", "Mo", "0.15-0.25", "SAE J404 table 1, 4140"),
    ("SAE 4340", "Ni", "1.65-2", "SAE J404 table 1, 4340"),
    ("SAE 52100", "Cr", "1.3-1.6", "SAE J404 table 1, 52100"),
    ("M42", "Co", "7.75-8.75", "ASTM A600 table 1, M42"),
    ("T1", "W", "17.25-18.75", "ASTM A600 table 1, T1"),
    ("A335 P91", "Cr", "8-9.5", "ASTM A335 table 1, P91"),
    ("S355J2", "P", "<=0.025", "EN 10025-2 table 2, S355J2"),
    ("Manganese steel", "C", "1.05-1.35", "ASTM A128 table 1, A"),
    ("Alloy 400", "Cu", "28-34", "ASTM B127 table 1, N04400"),
    ("Alloy 625", "Nb", "3.15-4.15", "ASTM B443 table 1, N06625"),
    ("Alloy 718", "Nb", "4.75-5.5", "ASTM B637 table 1, N07718"),
    ("C-276", "W", "3-4.5", "ASTM B575 table 1, N10276"),
    ("L-605", "W", "14-16", "AMS 5537, R30605"),
    ("Invar 36", "Ni", "35-37", "DIN 17745, 1.3912"),
    ("Zircaloy-4", "Sn", "1.2-1.7", "ASTM B352 table 1, R60804"),
]

# grades in rising order of one element: where the range of each ends, the next has gone past its middle
RISING = [
    (
        "C",
        [
            "SAE 1010",
            "SAE 1020",
            "SAE 1030",
            "SAE 1040",
            "SAE 1050",
            "SAE 1060",
            "SAE 1070",
            "SAE 1080",
            "SAE 1090",
        ],
        "by carbon",
    ),
    (
        "C",
        ["SAE 4130", "SAE 4135", "SAE 4137", "SAE 4140", "SAE 4142", "SAE 4145", "SAE 4147", "SAE 4150"],
        "Cr-Mo steels by carbon",
    ),
    (
        "C",
        [
            "SAE 8615",
            "SAE 8617",
            "SAE 8620",
            "SAE 8622",
            "SAE 8625",
            "SAE 8627",
            "SAE 8630",
            "SAE 8637",
            "SAE 8640",
        ],
        "86xx by carbon",
    ),
    ("C", ["304L", "304", "304H"], "18-8 by least carbon"),
    ("C", ["440A", "440B", "440C"], "440 by carbon"),
    ("Cr", ["A335 P12", "A335 P11", "A335 P22", "A335 P5", "A335 P9"], "boiler pipe by chromium"),
    ("Ni", ["Ni-Resist 1", "Ni-Resist 2", "Ni-Resist 3", "Ni-Resist 5"], "austenitic iron by nickel"),
    ("Ni", ["HH", "HK", "HN", "HP", "HU", "HW", "HX"], "heat-resistant castings by nickel"),
    ("Mo", ["304LN", "316", "317", "317LMN", "AL-6XN", "654SMO"], "austenitic stainless by molybdenum"),
    ("W", ["Stellite 6", "Stellite 12", "Stellite 1"], "hard facings by tungsten"),
    ("Co", ["M35", "M42", "1.3207"], "high-speed steels by cobalt"),
]

# stabilised grade, its stabiliser: a reading without it is another grade
STABILISED = [
    ("321", "Ti"),
    ("347", "Nb"),
    ("316Ti", "Ti"),
    ("409", "Ti"),
    ("439", "Ti"),
    ("441", "Nb"),
    ("CF8C", "Nb"),
]


def grades_of(family: str) -> list[Grade]:
    return [grade for grade in load().grades if grade.family == family]


def middle(limit: Limit | None) -> float:
    """Return the middle of a limit [wt %], 0 for an element that is not named."""
    if limit is None:
        return 0.0
    low = 0.0 if limit.low is None else limit.low
    return (low + (100.0 if limit.high is None else limit.high)) / 2.0


@pytest.mark.parametrize("family", PINNED)
def test_counts_and_column_sums_are_as_pinned(family: str) -> None:
    """No grade is lost and no digit slips without this test saying so."""
    grades = grades_of(family)
    limits = [limit for grade in grades for limit in grade.limits.values() if limit.nominal is None]

    count, maxima, minima, densities = PINNED[family]

    assert len(grades) == count
    assert math.fsum(x.high for x in limits if x.high is not None) == pytest.approx(maxima, abs=SUM_ROUNDING)
    assert math.fsum(x.low for x in limits if x.low is not None) == pytest.approx(minima, abs=SUM_ROUNDING)
    assert math.fsum(g.density_g_cm3 for g in grades) == pytest.approx(densities, abs=0.0006)


@pytest.mark.parametrize(("grade_id", "element", "limit", "standard"), KNOWN_LIMITS)
def test_limit_is_the_one_of_the_standard(grade_id: str, element: str, limit: str, standard: str) -> None:
    """Well-known limits stand in the library as the standard states them."""
    assert load().grade(grade_id).limits[element] == read_limit(limit), standard


@pytest.mark.parametrize(("element", "grade_ids", "what"), RISING)
def test_siblings_rise_in_their_element(element: str, grade_ids: list[str], what: str) -> None:
    """A slipped digit or two swapped rows would break the order that the names of the siblings promise."""
    middles = [middle(load().grade(grade_id).limits.get(element)) for grade_id in grade_ids]

    assert middles == sorted(middles) and len(set(middles)) == len(middles), what


@pytest.mark.parametrize(("grade_id", "stabiliser"), STABILISED)
def test_stabilised_grade_asks_for_its_stabiliser(grade_id: str, stabiliser: str) -> None:
    """The ratio to carbon is told in the note, and its low end keeps the unstabilised twin out."""
    grade = load().grade(grade_id)

    assert (grade.limits[stabiliser].low or 0.0) > 0.0
    assert f"{stabiliser} at least" in grade.note


def test_low_carbon_twins_differ_by_carbon_alone() -> None:
    """316 and 316L overlap in every element but carbon (ASTM A240 table 1)."""
    plain, low_carbon = load().grade("316").limits, load().grade("316L").limits

    assert {symbol for symbol in plain if plain[symbol] != low_carbon[symbol]} == {"C"}


def test_older_editions_of_304_are_kept_as_differences() -> None:
    """The card can say what bar and pipe standards ask beside the sheet standard."""
    older = {(d.element, d.limit.low, d.limit.high) for d in load().grade("304").differences}

    assert {("Cr", 18.0, 20.0), ("C", None, 0.08), ("Ni", 8.0, 11.0)} <= older


def test_two_element_limits_are_kept_as_sums() -> None:
    """Ni+Mo of a nickel-molybdenum alloy, Zr+Hf and Fe+Cr of zirconium, Nb+Ti of a stabilised ferritic."""
    library = load()

    assert library.grade("B-3").sums["Ni+Mo"] == Limit(low=94.0, high=98.0)
    assert library.grade("Zirconium 702").sums["Zr+Hf"] == Limit(low=99.2)
    assert library.grade("Zirconium 704").sums["Cr+Fe"] == Limit(low=0.2, high=0.4)
    assert library.grade("444").sums["Nb+Ti"] == Limit(low=0.2, high=0.8, is_low_reckoned=True)


@pytest.mark.parametrize(
    ("grade_id", "magnet"),
    [
        ("304", MagneticClass.WEAK_WHEN_WORKED),
        ("310", MagneticClass.NON),
        ("430", MagneticClass.STRONG),
        ("2205", MagneticClass.STRONG),
        ("CF8", MagneticClass.WEAK),
        ("Manganese steel", MagneticClass.NON),
        ("Alloy 400", MagneticClass.VARIABLE),
        ("Alloy K-500", MagneticClass.NON),
        ("Alloy 625", MagneticClass.NON),
        ("Nickel 200", MagneticClass.STRONG),
        ("Invar 36", MagneticClass.STRONG),
    ],
)
def test_magnet_answers_as_any_sorter_knows(grade_id: str, magnet: MagneticClass) -> None:
    """Common practice: what a hand magnet does on the well-known grades."""
    assert load().grade(grade_id).magnet is magnet


def test_one_element_is_the_rest() -> None:
    """Every grade leaves the rest to one element, but for heavy alloy, which states its tungsten."""
    heavy = [grade.grade_id for grade in grades_of("tungsten heavy alloy")]
    grades = [grade for family in PINNED for grade in grades_of(family)]

    without = [g.grade_id for g in grades if not any(limit.is_rest for limit in g.limits.values())]

    assert without == heavy


# grades sold by strength or use, whose standards limit little or nothing of the composition
LITTLE_LIMITED = [
    *("A615 Grade 60", "B500C", "SS400", "E295", "E335", "E360"),
    *("API 5CT J55", "API 5CT N80", "API 5CT P110"),
    *("EN-GJL-200", "EN-GJL-250", "EN-GJL-300", "EN-GJS-400-15", "EN-GJS-500-7", "EN-GJS-700-2", "ADI"),
]
UNSEEN_BY_X_RAYS = {"C", "N", "P", "S", "Mg", "B"}


@pytest.mark.parametrize("technique", ["xrf", "lab"])
@pytest.mark.parametrize("grade_id", LITTLE_LIMITED)
def test_a_grade_that_limits_little_is_never_the_only_answer(grade_id: str, technique: str) -> None:
    """A metal sold by strength has look-alikes: not even its own usual composition settles it."""
    melt = nominal_composition(load().grade(grade_id))
    seen = {s: v for s, v in melt.items() if technique == "lab" or s not in UNSEEN_BY_X_RAYS}
    reading = Reading(
        values={s: 100.0 * v / sum(seen.values()) for s, v in seen.items()}, technique=technique
    )

    verdict = identify(PieceFacts(shots=(Shot(reading=reading),)), load())

    found = {candidate.grade.grade_id: candidate.probability for candidate in verdict.candidates}
    assert found.get(grade_id, 0.0) < 0.9


def test_ends_reckoned_from_a_ratio_are_not_said_to_be_seen() -> None:
    """The low end of a stabiliser follows from its ratio to carbon, whatever page states the ratio."""
    stabilised = [(load().grade(grade_id), symbol) for grade_id, symbol in STABILISED]

    reckoned = [grade.limits[symbol] for grade, symbol in stabilised if "low end" in grade.note]

    assert len(reckoned) >= 5
    assert all(limit.is_low_reckoned and not limit.is_high_reckoned for limit in reckoned)


def test_silicon_of_the_300_series_is_of_one_edition() -> None:
    """Silicon never tells 304 from 316: all stand at 1 %, with the sheet standard's 0.75 on each card."""
    for grade_id in (
        "304",
        "304L",
        "304H",
        "316",
        "316L",
        "316H",
        "317",
        "317L",
        "321",
        "347",
        "309S",
        "305",
    ):
        grade = load().grade(grade_id)
        sheet = [other.limit.high for other in grade.differences if other.element == "Si"]
        assert grade.limits["Si"].high == pytest.approx(1.0), grade_id
        assert 0.75 in sheet, grade_id
