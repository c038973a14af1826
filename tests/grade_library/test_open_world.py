"""What the core says of metal and skins outside its own book: families with an open set, unknown layers,
claims."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grade_library.facts import BenchFacts, Claim, Colour, Heft, MagnetPull, PieceFacts, Reading, Shot
from grade_library.library import GradeLibrary, load
from grade_library.matcher.kinds import kinds_of
from grade_library.matcher.matching import identify
from grade_library.skin.look_alikes import look_alikes
from grade_library.skin.remnant import _added_density
from grade_library.skin.series import order_of
from grade_library.technique import profiles
from grade_library.verdict import Verdict

SUPERALLOY = {
    "Ni": 54.0,
    "Cr": 14.0,
    "Fe": 7.0,
    "Mo": 6.0,
    "Nb": 3.4,
    "Co": 8.0,
    "W": 4.0,
    "Al": 1.9,
    "Ti": 1.7,
}
DIE_CASTING = (
    {"Cr": 60.0, "Ni": 27.0, "Fe": 2.0, "Zn": 10.0, "Al": 0.5},
    {"Cr": 27.0, "Ni": 12.0, "Fe": 1.0, "Zn": 57.6, "Al": 2.4},
    {"Cr": 4.0, "Ni": 1.8, "Fe": 0.2, "Zn": 90.0, "Al": 3.9},
)


def seen(*readings: dict[str, float], technique: str = "libs", **bench: object) -> Verdict:
    """Identify a series, every shot but the first on ground metal."""
    shots = tuple(
        Shot(reading=Reading(values=values, technique=technique), is_ground=i > 0)
        for i, values in enumerate(readings)
    )
    return identify(PieceFacts(shots=shots, bench=BenchFacts(**bench)), load())  # type: ignore[arg-type]


def group_share(verdict: Verdict, group: str) -> float:
    """Return the probability of a group, unlisted members counted."""
    return sum(member.probability for member in verdict.families if member.group == group)


def test_an_alloy_that_the_library_lacks_is_an_unlisted_member_of_its_family() -> None:
    """A nickel superalloy of no grade is said to be one, with three grades that it is near."""
    verdict = seen(SUPERALLOY, technique="lab")

    leading = verdict.families[0]
    assert leading.family == "nickel superalloy" and leading.unlisted > 0.9 > 0.1 > leading.listed
    assert len(verdict.nearest) == 3
    assert "nickel superalloy" in verdict.family_answer


@settings(max_examples=20, deadline=None)
@given(
    values=st.dictionaries(
        st.sampled_from(["Cr", "Ni", "Fe", "Cu", "Zn", "Al", "Si", "Pb", "Ti", "Co"]),
        st.floats(0.1, 10.0),
        min_size=1,
    )
)
def test_families_and_no_family_are_everything(values: dict[str, float]) -> None:
    """Listed and unlisted shares of all families and of no family sum to 1, whatever was read."""
    verdict = seen(values)

    total = sum(member.probability for member in verdict.families) + verdict.no_family
    assert total == pytest.approx(1.0, abs=2e-3)
    assert sum(member.unlisted for member in verdict.families) + verdict.no_family == pytest.approx(
        verdict.unlisted, abs=2e-3
    )


def test_every_grade_is_of_one_kind_and_the_commonest_stand_for_it() -> None:
    """Kinds follow group, family and series; the grades that stand for one are those that weigh most."""
    library = load()
    kinds = kinds_of(library)
    weights = np.arange(len(library), dtype=float)

    row = library.index_of("304")
    standing = kinds.standing(weights, 2)
    in_kind = np.flatnonzero(kinds.kind_of == kinds.kind_of[row])

    assert kinds.kinds[kinds.kind_of[row]].series == "300"
    assert sorted(standing[kinds.kind_of[standing] == kinds.kind_of[row]]) == sorted(in_kind[-2:])
    assert kinds.summed(weights).sum() == pytest.approx(weights.sum())


def test_a_melt_just_outside_a_maximum_stays_its_grade() -> None:
    """Iron 0.103 against 0.1 in a zinc die casting is an off-spec melt of the grade, said so, not an unknown
    metal."""
    library = load()
    most = library.grade("Zamak 3").limits["Fe"].high
    assert most is not None
    values = {"Zn": 95.9, "Al": 4.0, "Mg": 0.04, "Cu": 0.05, "Fe": most * 1.03}

    verdict = seen(values, technique="lab")

    assert verdict.best is not None and verdict.best.grade.group == "zinc"
    assert verdict.unlisted < 0.5
    zamak = next(c for c in verdict.candidates if c.grade.grade_id == "Zamak 3")
    assert any("a melt just off in Fe: " in reason.text for reason in zamak.reasons)


def test_a_chromed_die_casting_is_zinc_by_its_third_shot() -> None:
    """No coat of the list weakens so, and yet the third shot shows the core to anybody: 97 % zinc alloy."""
    verdict = seen(*DIE_CASTING)

    assert group_share(verdict, "zinc") > 0.9
    assert verdict.skin is not None and verdict.skin.is_suspected
    assert verdict.skin.shares[0] > verdict.skin.shares[1] > verdict.skin.shares[2]


def test_adding_the_bare_core_as_one_more_ground_shot_raises_its_class() -> None:
    """The true core, ground bare, never makes its own class less likely."""
    core = {"Zn": 95.9, "Al": 4.0}

    before, after = seen(*DIE_CASTING[:2]), seen(*DIE_CASTING[:2], core)

    assert group_share(after, "zinc") > group_share(before, "zinc")
    assert group_share(after, "zinc") > 0.99


@pytest.mark.parametrize("scale", [0.97, 1.0])
@pytest.mark.parametrize(
    ("values", "group"),
    [
        ({"Cr": 18.1, "Ni": 8.2, "Fe": 71.2, "Mn": 1.6}, "stainless"),
        ({"Cu": 61.2, "Zn": 35.9, "Pb": 2.7}, "brass"),
        ({"Al": 91.0, "Si": 7.1, "Cu": 0.2, "Mg": 0.4, "Fe": 0.3}, "aluminium"),
    ],
)
def test_a_reading_a_little_low_in_all_keeps_its_class(
    values: dict[str, float], group: str, scale: float
) -> None:
    """All values times 0.97 are the same metal, read a little low."""
    verdict = seen({symbol: x * scale for symbol, x in values.items()}, technique="xrf")

    assert group_share(verdict, group) > 0.9


def test_a_coat_of_no_list_over_steel_is_seen_through() -> None:
    """Lead, palladium and tungsten stand together in no list; what falls is coat, what rises is core."""
    first = {"Pb": 40.0, "Pd": 30.0, "W": 20.0, "Fe": 10.0}
    last = {"Pb": 2.4, "Pd": 1.9, "W": 1.3, "Fe": 93.3, "Mn": 0.9}

    verdict = seen(first, last, technique="xrf")

    assert group_share(verdict, "steel") + group_share(verdict, "cast iron") > 0.9
    assert verdict.skin is not None and verdict.skin.is_suspected


def test_what_was_added_is_the_convolution_of_a_spread_with_an_exponential() -> None:
    """Uniform on 1 to 3 with an addition of mean 0.5, at 3.4: by numeric convolution of the two densities."""
    steps = np.linspace(1.0, 3.0, 200_001)
    expected = np.mean(np.where(steps < 3.4, np.exp(-(3.4 - steps) / 0.5) / 0.5, 0.0))

    found = _added_density(*(np.array([x]) for x in (3.4, 1e-6, 1.0, 3.0, 0.5)))

    assert found[0] == pytest.approx(expected, rel=1e-4)


def test_a_shot_of_the_skin_after_the_core_is_taken_for_what_it_is() -> None:
    """The ground spot first and the coated one after it: the core is what the ground shot read."""
    known = profiles()
    core = Shot(reading=Reading(values={"Fe": 98.9, "Mn": 0.9, "Si": 0.2}, technique="libs"), is_ground=True)
    coat = Shot(reading=Reading(values={"Zn": 97.0, "Fe": 3.0}, technique="libs"))

    verdict = identify(PieceFacts(shots=(core, coat)), load())

    assert order_of((core, coat), known) == [1, 0] and order_of((coat, core), known) == [0, 1]
    assert order_of((coat, core, core), known) == [0, 1, 2]
    assert group_share(verdict, "steel") > 0.9
    assert verdict.skin is not None and verdict.skin.shares[0] < 0.1 < 0.9 < verdict.skin.shares[1]


def test_a_series_that_goes_there_and_back_is_two_pieces_or_a_slip() -> None:
    """Steel, then brass, then steel: no grinding does that."""
    steel, brass = {"Fe": 98.5, "Mn": 0.9}, {"Cu": 61.0, "Zn": 38.0}

    there_and_back = seen(steel, brass, steel)
    onward = seen(brass, steel, steel)

    assert any("two pieces, or a slip" in text and "shot 2" in text for text in there_and_back.warnings)
    assert not any("two pieces" in text for text in onward.warnings)


NICKEL_SILVER = {"Cu": 64.0, "Zn": 18.0, "Ni": 16.0}
LEAN_STAINLESS = {"Mn": 0.76, "Cr": 15.4, "Fe": 74.4, "Ni": 7.6}


def test_one_unground_shot_does_not_settle_nickel_silver() -> None:
    """Nickel-plated brass reads the same: it keeps a share until a file tells, and what tells is said."""
    by_reading = seen(NICKEL_SILVER, technique="xrf")
    white = seen(NICKEL_SILVER, technique="xrf", scratch=Colour.WARM_WHITE)
    yellow = seen(NICKEL_SILVER, technique="xrf", scratch=Colour.YELLOW)

    assert 0.05 < group_share(by_reading, "brass") < 0.5
    assert by_reading.skin is not None and "file it" in by_reading.skin.tell
    assert group_share(white, "nickel silver") > 0.9
    assert group_share(yellow, "brass") > 0.9


def test_a_ground_shot_of_nickel_silver_is_nickel_silver() -> None:
    """On ground metal there is no skin to be taken for it."""
    shot = Shot(reading=Reading(values=NICKEL_SILVER, technique="xrf"), is_ground=True)

    verdict = identify(PieceFacts(shots=(shot,)), load())

    assert group_share(verdict, "nickel silver") > 0.9


def test_the_magnet_tells_chromed_steel_from_a_lean_stainless() -> None:
    """Below every stainless, the reading alone leaves both; no pull means stainless, a strong one steel."""
    alone = seen(LEAN_STAINLESS, technique="xrf")
    none = seen(LEAN_STAINLESS, technique="xrf", magnet=MagnetPull.NONE)
    strong = seen(LEAN_STAINLESS, technique="xrf", magnet=MagnetPull.STRONG)

    assert group_share(alone, "steel") > 0.1 and group_share(alone, "stainless") > 0.3
    assert group_share(none, "stainless") > 0.95
    assert group_share(strong, "steel") > 0.8


def test_an_ordinary_stainless_is_no_look_alike() -> None:
    """Inside the limits of 304 nothing speaks for chromed steel."""
    verdict = seen({"Cr": 18.2, "Ni": 8.1, "Fe": 71.3, "Mn": 1.5}, technique="xrf")

    assert verdict.skin is not None and verdict.skin.tell == ""
    assert group_share(verdict, "stainless") > 0.99


def test_a_skin_brings_nothing_that_neither_it_nor_the_metal_beneath_holds() -> None:
    """Below 316 in chromium, but with 2.4 % Mo: no chromed steel, since no steel that is chromed holds it."""
    verdict = seen({"Cr": 14.0, "Ni": 10.5, "Mo": 2.4, "Mn": 1.0, "Fe": 72.0}, technique="xrf")

    assert verdict.skin is not None and verdict.skin.tell == ""
    assert group_share(verdict, "stainless") > 0.98


@pytest.mark.parametrize(
    ("values", "coating", "group"),
    [
        ({"Zn": 80.0, "Cu": 8.0, "Ni": 7.0, "Cr": 1.5, "Al": 3.5}, "chromium over nickel", "zinc"),
        ({"Zn": 70.0, "Fe": 30.0}, "zinc", "steel"),
        ({"Ni": 62.0, "Fe": 37.4, "Mn": 0.6}, "nickel", "steel"),
        ({"Ni": 45.0, "Cu": 45.0, "Zn": 10.0}, "nickel", "brass"),
    ],
)
def test_a_worn_plate_on_one_shot_is_seen_by_its_coating(
    values: dict[str, float], coating: str, group: str
) -> None:
    """Chromed die casting, worn zinc and nickel on steel and brass: what the metal beneath reads as tells."""
    verdict = seen(values, technique="xrf")

    assert verdict.skin is not None and verdict.skin.coating == coating
    assert group_share(verdict, group) > 0.9


def test_every_look_alike_says_what_splits_it_and_names_what_there_is() -> None:
    """Families of the pairs are families of the library, and each says what to do with what each answer
    means."""
    families = {grade.family for grade in load().grades}

    for pair in look_alikes():
        assert pair.reads_as <= families and pair.over <= families
        assert 0.0 < pair.odds <= 1.0
        assert ":" in pair.tell or "," in pair.tell


def _claimed(library: GradeLibrary, text: str, family: str, **bench: object) -> Verdict:
    ids = frozenset(grade.grade_id for grade in library.grades if family in (grade.family, grade.group))
    claim = Claim(text=text, label=text, grade_ids=ids)
    return identify(PieceFacts(claim=claim, bench=BenchFacts(**bench)), library)  # type: ignore[arg-type]


def test_a_strong_magnet_outweighs_the_name_copper() -> None:
    """Copper does not hold a magnet: plated steel leads, and the line says so."""
    verdict = _claimed(load(), "copper", "copper", magnet=MagnetPull.STRONG)

    assert group_share(verdict, "steel") > group_share(verdict, "copper")
    assert "CHECK copper does not hold a magnet: plated steel, or steel in it?" in verdict.warnings


def test_a_name_that_the_bench_agrees_with_is_not_doubted() -> None:
    """No pull and red: copper, and nothing to check."""
    verdict = _claimed(load(), "copper", "copper", magnet=MagnetPull.NONE, scratch=Colour.RED)

    assert group_share(verdict, "copper") > 0.95
    assert not any(text.startswith("CHECK") for text in verdict.warnings)


def test_a_very_light_aluminium_may_be_magnesium() -> None:
    """Heft speaks against the name: magnesium comes into question and the line says so."""
    verdict = _claimed(load(), "alu wheel", "aluminium cast", heft=Heft.VERY_LIGHT)
    light = _claimed(load(), "alu wheel", "aluminium cast", heft=Heft.LIGHT)

    assert group_share(verdict, "magnesium") > 10 * group_share(light, "magnesium")
    assert "CHECK alu wheel is not very light: hollow, or another metal?" in verdict.warnings


def test_plain_copper_is_not_held_for_beryllium_but_a_spring_may_be() -> None:
    """Copper pipe and sheet hold beryllium practically never, springs now and then (common practice)."""
    from grade_library.facts import Form

    library = load()
    holding = {
        g.grade_id for g in library.grades if g.base == "Cu" and (g.limits.get("Be") and g.limits["Be"].high)
    }

    def share(form: Form | None) -> float:
        verdict = _claimed(library, "copper", "copper", form=form)
        return sum(p for grade_id, p in verdict.share_by_id.items() if grade_id in holding)

    assert share(None) < 0.05 and share(Form.TUBE) < 0.01 and share(Form.SHEET) < 0.01
    assert share(Form.SPRING) > 0.05


@pytest.mark.parametrize(
    ("facts", "is_guess"),
    [
        (PieceFacts(shots=(Shot(reading=Reading(values={"Be": 99.0}, technique="xrf")),)), True),
        (PieceFacts(shots=(Shot(reading=Reading(values={"Al": 1.0}, technique="xrf")),)), True),
        (PieceFacts(shots=(Shot(reading=Reading(values={"Al": 90.0}, technique="xrf")),)), False),
        (PieceFacts(shots=(Shot(reading=Reading(values={"Cr": 1.0, "Mn": 0.8}, technique="xrf")),)), False),
        (PieceFacts(bench=BenchFacts(magnet=MagnetPull.STRONG)), False),
        (PieceFacts(claim=Claim(text="304", label="304", grade_ids=frozenset({"304"}))), False),
    ],
)
def test_it_is_said_when_nothing_tells_one_metal_from_another(facts: PieceFacts, is_guess: bool) -> None:
    """Beryllium by x-rays, which do not see it, or one per cent of one element: what leads is habit."""
    assert identify(facts, load()).is_guess is is_guess


def test_what_reads_a_skin_and_no_more_is_no_guess() -> None:
    """Chromium over nickel says what the surface is, though nothing of the metal is left in it."""
    verdict = seen({"Cr": 65.0, "Ni": 25.0, "Fe": 9.0}, technique="xrf")

    assert verdict.skin is not None and verdict.skin.is_suspected
    assert not verdict.is_guess
