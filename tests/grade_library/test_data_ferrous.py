"""The shipped figures of steels, nickel, cobalt, refractory metals and magnets: counts, sums, limits."""

import math

import pytest

from grade_library.grade import Grade, Limit, MagneticClass
from grade_library.library import load
from grade_library.loading.notation import read_limit

# family: grades, sum of all stated maxima [wt %], sum of all stated minima [wt %], sum of densities [g/cm3];
# nominal values stay out of the sums. A deliberate correction changes its row here; a slipped digit shows.
PINNED = {
    "austenitic manganese steel": (1, 2.4200, 12.0500, 7.870),
    "austenitic stainless": (64, 2703.1700, 2153.8110, 507.540),
    "carbon steel": (50, 84.6800, 46.6100, 392.493),
    "cast heat-resistant": (17, 947.4950, 739.6000, 132.920),
    "cast iron": (23, 517.9750, 332.3950, 170.070),
    "cast stainless": (37, 1359.9900, 1017.7200, 286.100),
    "cemented carbide": (1, 56.1000, 7.0000, 14.900),
    "chromium-molybdenum pipe steel": (10, 68.4260, 45.0810, 78.160),
    "cobalt alloy": (22, 1169.6330, 922.8450, 187.480),
    "controlled-expansion alloy": (3, 43.1200, 35.0000, 24.470),
    "duplex stainless": (10, 373.3050, 290.0000, 77.870),
    "electrical steel": (1, 4.5500, 0.5000, 7.650),
    "ferritic stainless": (27, 626.6500, 483.2200, 206.460),
    "free-machining steel": (21, 42.8300, 27.7300, 164.950),
    "low-alloy steel": (81, 312.0120, 209.3610, 635.790),
    "maraging steel": (2, 68.5000, 60.6000, 16.000),
    "martensitic stainless": (23, 440.9600, 329.8500, 178.450),
    "nickel": (7, 31.2850, 500.5500, 60.852),
    "nickel superalloy": (22, 1122.3765, 957.4370, 181.030),
    "nickel-chromium alloy": (15, 599.6760, 735.9650, 125.410),
    "nickel-copper": (4, 160.0340, 300.6750, 34.670),
    "nickel-iron-chromium alloy": (15, 1021.5370, 997.1800, 121.240),
    "nickel-molybdenum alloy": (20, 960.6460, 763.1200, 175.160),
    "permanent magnet": (7, 227.7000, 119.9000, 53.000),
    "precipitation-hardening stainless": (10, 280.9280, 219.0200, 77.870),
    "pure metal": (3, 1.4200, 198.8000, 23.896),
    "refractory metal": (16, 115.0036, 285.3200, 219.874),
    "shape-memory alloy": (1, 57.1750, 54.5000, 6.450),
    "soft-magnetic alloy": (5, 315.7700, 286.2500, 41.620),
    "spring steel": (8, 28.1350, 21.2200, 62.800),
    "structural steel": (17, 41.3130, 2.7100, 133.430),
    "tool steel": (77, 1163.3650, 888.5200, 611.880),
    "tungsten heavy alloy": (4, 42.2000, 10.2000, 71.180),
    "weathering steel": (4, 12.8600, 4.7500, 31.400),
    "zirconium": (5, 23.4800, 5.8000, 32.836),
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
    assert library.grade("444").sums["Nb+Ti"] == Limit(low=0.2, high=0.8)


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
