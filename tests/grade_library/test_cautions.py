"""Cautions: each trigger fires, and only where it should."""

import re

import pytest

from grade_library.cautions import (
    DEFERRAL,
    Level,
    all_cautions,
    cautions_for,
    cautions_of_grade,
    holding_caution,
)
from grade_library.facts import BenchFacts, Form, PieceFacts, Reading, Shot, Surface
from grade_library.grade import Colour, Grade, Limit, MagneticClass
from grade_library.library import load
from grade_library.matcher.matching import identify
from grade_library.naming.names import NameIndex
from grade_library.verdict import Candidate, SkinVerdict, Verdict


def a_grade(base: str, group: str, **limits: Limit) -> Grade:
    return Grade(
        grade_id="test grade",
        family="test family",
        group=group,
        series="test",
        base=base,
        limits=limits,
        density_g_cm3=5.0,
        magnet=MagneticClass.NON,
        colour=Colour.GREY,
    )


def a_verdict(grade: Grade, probability: float, coating: str | None = None) -> Verdict:
    skin = SkinVerdict(
        is_suspected=coating is not None,
        coating=coating,
        probability=0.9 if coating else 0.0,
        shares=(),
        has_arrived=False,
        core=(),
    )
    candidate = Candidate(grade=grade, probability=probability)
    return Verdict(candidates=(candidate,), unlisted=1 - probability, skin=skin)


def ids(**known: object) -> set[str]:
    return {caution.caution_id for caution in cautions_for(**known)}  # type: ignore[arg-type]


WORD_TRIGGERS = [(c.caution_id, word) for c in all_cautions() for word in c.words]
ELEMENT_TRIGGERS = [
    (c.caution_id, symbol, least) for c in all_cautions() for symbol, least in c.element.items()
]
READING_TRIGGERS = [
    (c.caution_id, symbol, least) for c in all_cautions() for symbol, least in c.reading.items()
]
BASE_TRIGGERS = [(c.caution_id, base) for c in all_cautions() for base in sorted(c.base)]
GROUP_TRIGGERS = [
    (c.caution_id, group, sorted(c.checks)) for c in all_cautions() for group in sorted(c.groups)
]
CHECK_TRIGGERS = [
    (c.caution_id, check) for c in all_cautions() if not c.with_check for check in sorted(c.checks)
]
COATING_TRIGGERS = [(c.caution_id, coating) for c in all_cautions() for coating in sorted(c.coatings)]
SURFACE_TRIGGERS = [(c.caution_id, surface) for c in all_cautions() for surface in sorted(c.surfaces)]


@pytest.mark.parametrize(("caution_id", "word"), WORD_TRIGGERS)
def test_word_fires_alone_in_plural_and_in_capitals(caution_id: str, word: str) -> None:
    """A word of the line fires its caution however it is written."""
    assert caution_id in ids(text=f"12.4 {word}")
    assert caution_id in ids(text=f"OLD {word.upper()}S, RUSTY")


def test_a_longer_word_does_not_fire() -> None:
    """Part of another word is no trigger: a drummer is no drum."""
    assert "CYL" not in ids(text="left by the drummer")


@pytest.mark.parametrize("line", ["12 filing cabinet", "12 shelving", "12 barbed wire", "12 fence posts"])
def test_an_open_thing_of_sheet_or_wire_is_no_closed_container(line: str) -> None:
    """A mixed lot of light iron may hide one; a thing that is seen as a whole hides none."""
    names = NameIndex(load())
    claim = names.exact(line.partition(" ")[2])
    verdict = identify(PieceFacts(claim=claim), load())

    assert "CYL" not in {one.caution_id for one in cautions_for(verdict=verdict, text=line)}
    lot = identify(PieceFacts(claim=names.exact("light iron")), load())
    assert "CYL" in {one.caution_id for one in cautions_for(verdict=lot, text="12 light iron")}


def test_what_only_sounds_like_the_hazard_does_not_fire() -> None:
    """A brake drum is no drum; a drum beside it still is, and so is what a longer name does not cover."""
    for words in ("brake drum", "old brake drums x2", "cyl head", "hot water cylinder cu", "Lock Cylinders"):
        assert "CYL" not in ids(text=f"12.4 {words}"), words
    for words in ("brake drum and oil drum", "gas cyl", "hydraulic cylinder", "drum ; brake drum"):
        assert "CYL" in ids(text=f"12.4 {words}"), words
    assert holding_caution("9 brake drum") is None and holding_caution("9 drum") is not None


@pytest.mark.parametrize(("caution_id", "symbol", "least"), ELEMENT_TRIGGERS)
def test_likely_grade_that_may_hold_the_element_fires(caution_id: str, symbol: str, least: float) -> None:
    """A likely candidate that may hold the element fires; an unlikely one or a lesser share does not."""
    holds = a_grade("Cu", "copper", **{symbol: Limit(high=least)})
    holds_less = a_grade("Cu", "copper", **{symbol: Limit(high=least / 2)})

    assert caution_id in ids(verdict=a_verdict(holds, 0.5))
    assert caution_id in {c.caution_id for c in cautions_of_grade(holds)}
    assert caution_id not in ids(verdict=a_verdict(holds, 0.02))
    assert caution_id not in ids(verdict=a_verdict(holds_less, 0.5))


def test_unlikely_hazard_stands_before_dust_is_made() -> None:
    """Before grinding, a two-per-cent chance of beryllium is enough to be told."""
    beryllium_copper = a_grade("Cu", "copper", Be=Limit(low=1.8, high=2.0))

    assert "BE" in ids(verdict=a_verdict(beryllium_copper, 0.02), check="grind")


@pytest.mark.parametrize(("caution_id", "symbol", "least"), READING_TRIGGERS)
def test_reading_fires_from_its_threshold_on(caution_id: str, symbol: str, least: float) -> None:
    """A reading at the threshold fires; half of it does not."""
    at = PieceFacts(shots=(Shot(reading=Reading(values={symbol: least})),))
    below = PieceFacts(shots=(Shot(reading=Reading(values={symbol: least / 2})),))

    assert caution_id in ids(facts=at)
    assert caution_id not in ids(facts=below)


@pytest.mark.parametrize(("caution_id", "base"), BASE_TRIGGERS)
def test_base_metal_fires(caution_id: str, base: str) -> None:
    """A likely candidate of the base metal fires, one of iron does not."""
    assert caution_id in ids(verdict=a_verdict(a_grade(base, "titanium"), 0.5))
    assert caution_id not in ids(verdict=a_verdict(a_grade("Fe", "steel"), 0.5))


@pytest.mark.parametrize(("caution_id", "group", "checks"), GROUP_TRIGGERS)
def test_group_fires_with_its_check(caution_id: str, group: str, checks: list[str]) -> None:
    """A likely candidate of the group fires, together with the check where the caution asks for one."""
    verdict = a_verdict(a_grade("Fe", group), 0.5)

    assert caution_id in ids(verdict=verdict, check=checks[0] if checks else None)


@pytest.mark.parametrize(("caution_id", "check"), CHECK_TRIGGERS)
def test_check_fires(caution_id: str, check: str) -> None:
    """A check about to be proposed fires its caution; without it there is silence."""
    assert caution_id in ids(check=check)
    assert caution_id not in ids()


@pytest.mark.parametrize(("caution_id", "coating"), COATING_TRIGGERS)
def test_coating_fires(caution_id: str, coating: str) -> None:
    """A suspected coating fires its caution."""
    assert caution_id in ids(verdict=a_verdict(a_grade("Fe", "steel"), 0.9, coating))


@pytest.mark.parametrize(("caution_id", "surface"), SURFACE_TRIGGERS)
def test_surface_fires(caution_id: str, surface: str) -> None:
    """A surface stated on the line fires its caution."""
    facts = PieceFacts(bench=BenchFacts(surfaces=frozenset({Surface(surface)})))

    assert caution_id in ids(facts=facts)


def test_whole_light_metal_is_a_warning_and_its_dust_a_stop() -> None:
    """A whole titanium bar warns; before grinding it, or as turnings, the same caution is a stop."""
    verdict = a_verdict(a_grade("Ti", "titanium"), 0.9)

    def level(**known: object) -> Level:
        return next(c.level for c in cautions_for(verdict=verdict, **known) if c.caution_id == "TI")  # type: ignore[arg-type]

    assert level() is Level.WARN
    assert level(check="grind") is Level.STOP
    assert level(check="water") is Level.STOP
    assert level(facts=PieceFacts(bench=BenchFacts(form=Form.TURNINGS))) is Level.STOP
    assert level(text="a drum of titanium turnings") is Level.STOP


def test_heavy_entry_fires_lift() -> None:
    """More than 23 kg calls for a team or machine lift (NIOSH 94-110 load constant)."""
    assert "LIFT" in ids(mass_g=23_001)
    assert "LIFT" not in ids(mass_g=23_000)


def test_order_before_any_advice_to_grind() -> None:
    """Radiation, closed containers, beryllium, cadmium, light metals and lead come before grinding."""
    ranks = {caution.caution_id: caution.rank for caution in all_cautions()}
    order = ["RAD", "CYL", "LI", "MUN", "BE", "CD", "MG", "TI", "PB", "CR6", "GRIND"]

    assert [ranks[name] for name in order] == sorted(ranks[name] for name in order)
    shown = cautions_for(text="radium dial on a gas bottle, beryllium, cadmium", check="grind")
    assert [caution.rank for caution in shown] == sorted(caution.rank for caution in shown)


def test_no_caution_calls_a_piece_safe_and_all_defer() -> None:
    """No text says that a piece is safe, and the deferral names local law and licensed practice."""
    assert not any(re.search(r"\b(is|are) safe\b", caution.say) for caution in all_cautions())
    assert "local law" in DEFERRAL
    assert "licensed" in DEFERRAL
    assert all(caution.source for caution in all_cautions())
    assert {caution.level for caution in all_cautions()} == set(Level)


def test_what_holds_a_piece_stops_the_work_and_nothing_else_does() -> None:
    """Radiation, closed containers, batteries, ammunition, mercury, metal that water sets off: by word."""
    holding = {caution.caution_id: caution for caution in all_cautions() if caution.holds}

    assert set(holding) == {"RAD", "CYL", "LI", "MUN", "HG", "NAK"}
    assert all(caution.level is Level.STOP and caution.words for caution in holding.values())


@pytest.mark.parametrize(("caution_id", "word"), WORD_TRIGGERS)
def test_a_word_holds_when_its_caution_says_so(caution_id: str, word: str) -> None:
    """Every word of a holding caution holds, in plural and in capitals; the most urgent is named."""
    caution = next(c for c in all_cautions() if c.caution_id == caution_id)
    found = holding_caution(f"12.4 304 {word.upper()}s m0")

    if caution.holds:
        assert found is not None and found.rank <= caution.rank
    else:
        assert found is None or found.caution_id in ids(text=word)


def test_the_most_urgent_hold_is_named() -> None:
    """Of several hazards on a line the most urgent is named, and none where there is none."""
    found = holding_caution("9 gas bottle with trefoil")

    assert found is not None and found.caution_id == "RAD"
    assert holding_caution("12.4 304 sheet") is None
