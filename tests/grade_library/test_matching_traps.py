"""Traps that a trial of the model fell into, each once."""

import itertools

import numpy as np
import pytest

from grade_library.facts import BenchFacts, Form, PieceFacts, Reading, Shot
from grade_library.library import load
from grade_library.matcher.evidence import compiled_for, gather
from grade_library.matcher.matching import identify
from grade_library.matcher.melt import spreads_of
from grade_library.matcher.prior import Prior
from grade_library.technique import profiles


def _read(
    values: dict[str, float], technique: str = "xrf", below: dict[str, float] | None = None
) -> PieceFacts:
    return PieceFacts(shots=(Shot(reading=Reading(values=values, below=below or {}, technique=technique)),))


def _log_likelihood(facts: PieceFacts) -> np.ndarray:
    library = load()
    return gather(facts, library, compiled_for(library), profiles()).log_likelihood


def test_a_very_pure_grade_does_not_win_by_what_was_not_reported() -> None:
    """Elements that nobody reported say nothing: 6061 with its four main figures stays 6061, not a purer
    cousin."""
    verdict = identify(
        _read({"Al": 97.6, "Mg": 1.0, "Si": 0.6, "Cu": 0.28, "Cr": 0.2}, "libs"), load(), Prior.flat()
    )

    assert verdict.best is not None and verdict.best.grade.grade_id in {"6061", "6262"}


def test_many_elements_below_detection_favour_a_pure_grade_only_a_little() -> None:
    """A dozen "not found" move the odds of 1199 over 1100 less than one wrong main element would."""
    library = load()
    traces = dict.fromkeys(("Ti", "V", "Ga", "Zn", "Mn", "Mg", "Cr", "Ni", "Pb", "Sn", "Zr", "Bi"), 0.006)
    row = library.index_of("1199"), library.index_of("1100")

    bare = _log_likelihood(_read({"Al": 99.5, "Si": 0.1, "Fe": 0.35}, "lab"))
    clean = _log_likelihood(_read({"Al": 99.5, "Si": 0.1, "Fe": 0.35}, "lab", traces))

    assert (clean[row[0]] - clean[row[1]]) - (bare[row[0]] - bare[row[1]]) < 8.0


def test_an_element_that_the_grade_demands_counts_when_it_is_missing() -> None:
    """Without molybdenum, looked for and not found, it is not 316."""
    verdict = identify(_read({"Cr": 17.5, "Ni": 10.5, "Fe": 70.0, "Mn": 1.5}, below={"Mo": 0.02}), load())

    assert not {c.grade.grade_id for c in verdict.candidates} & {"316", "316L", "317", "317L"}


def test_a_wrong_main_element_is_never_forgiven() -> None:
    """Tails fall steadily with distance: each further per cent of chromium makes 304 less likely by a nat and
    more, without a floor."""
    row = load().index_of("304")
    steps = (2, 3, 4, 6, 9, 12)
    chances = [
        float(_log_likelihood(_read({"Cr": 18.0 + step, "Ni": 9.0, "Fe": 71.0 - step}))[row])
        for step in steps
    ]

    pairs = zip(itertools.pairwise(steps), itertools.pairwise(chances), strict=True)
    assert all(later < earlier - (to - start) for (start, to), (earlier, later) in pairs)


def test_one_dirty_minor_element_does_not_rule_the_rest() -> None:
    """Silicon and iron from dirt on a 6063 profile cost it less than they would cost as main elements."""
    clean = identify(_read({"Al": 98.7, "Mg": 0.6, "Si": 0.45, "Fe": 0.2}, "libs"), load())
    dusty = identify(_read({"Al": 98.4, "Mg": 0.6, "Si": 0.68, "Fe": 0.3}, "libs"), load())

    assert clean.best is not None and clean.best.grade.series == "6xxx"
    assert dusty.best is not None and dusty.best.grade.series == "6xxx"


def test_a_minimum_without_a_maximum_on_a_minor_element_is_no_balance() -> None:
    """Where only a minimum of a small element is stated, melts hold it near that minimum, never up to 100
    %."""
    library = load()
    spreads = spreads_of(library)
    only_low = ~np.isnan(library.low) & np.isnan(library.high) & ~library.is_rest & (library.low < 20.0)

    assert only_low.any()
    assert (spreads.high[only_low] <= 1.6 * library.low[only_low] + 0.1 + 1e-9).all()


def test_a_melt_outside_a_limit_by_a_hair_is_still_the_grade() -> None:
    """About one published heat in four misses a limit: 316 at 18.2 % Cr (limit 18.0) by certificate stays
    316."""
    values = {
        "C": 0.03,
        "Cr": 18.2,
        "Ni": 11.5,
        "Mo": 2.2,
        "Mn": 1.5,
        "Si": 0.5,
        "P": 0.02,
        "S": 0.01,
        "Cu": 0.2,
    }

    verdict = identify(_read(values, "lab"), load())

    chances = {c.grade.grade_id: c.probability for c in verdict.candidates}
    assert chances["316"] + chances["316L"] > 0.3
    assert verdict.unlisted < 0.1


def test_cast_and_wrought_twins_differ_by_form_and_not_by_reading() -> None:
    """The form moves the odds of cast against wrought by more than the same reading does."""
    shot = Shot(
        reading=Reading(values={"Al": 92.0, "Si": 7.0, "Mg": 0.35, "Fe": 0.1, "Ti": 0.1}, technique="libs")
    )

    cast = identify(PieceFacts(shots=(shot,), bench=BenchFacts(form=Form.CASTING)), load())

    assert cast.best is not None and cast.best.grade.is_cast


def test_the_rest_left_out_of_a_certificate_is_no_evidence_against() -> None:
    """Certificates do not print iron: the gap up to 100 is taken for the rest, and must be able to be."""
    values = {"C": 0.05, "Cr": 18.3, "Ni": 8.4, "Mn": 1.4, "Si": 0.5, "P": 0.03, "S": 0.005}

    verdict = identify(_read(values, "lab"), load())

    assert verdict.best is not None and verdict.best.grade.grade_id in {"304", "304L"}
    assert {c.grade.base for c in verdict.candidates} == {"Fe"}


@pytest.mark.parametrize(
    ("typed", "family"),
    [
        ({"Cu": 85.0, "Sn": 5.0}, "cast red brass"),
        ({"Ni": 52.5, "Cr": 19.0}, "nickel superalloy"),
        ({"Fe": 65.0, "Cr": 17.0}, "austenitic stainless"),
        ({"Cr": 17.0, "Ni": 11.0}, "austenitic stainless"),
        ({"Fe": 81.0, "W": 6.3}, "tool steel"),
        ({"Cu": 81.0, "Al": 9.0}, "aluminium bronze"),
        ({"Cu": 64.0, "Zn": 18.0}, "nickel silver"),
    ],
)
def test_two_values_are_a_reading_that_was_begun(typed: dict[str, float], family: str) -> None:
    """What is missing from 100 will still be typed: the metal that it is missing from leads (middles of the
    ranges of C83600, Alloy 718, 316, M2, C63000 and C75200), not one that is complete without it."""
    grades = identify(_read(typed), load()).candidates

    assert grades[0].grade.family == family


def test_molybdenum_is_waited_for_and_not_taken_for_absent() -> None:
    """Chromium and nickel alone, where 304 ends and 316 begins, settle neither."""
    begun = identify(_read({"Cr": 17.2, "Ni": 10.5}), load()).share_by_id
    whole = identify(_read({"Cr": 17.2, "Ni": 10.5, "Mn": 1.6, "Fe": 70.4}), load()).share_by_id

    with_molybdenum = ("316", "316L", "316H")
    assert sum(begun[one] for one in with_molybdenum) > 0.3
    assert sum(whole[one] for one in with_molybdenum) < 0.05


def test_nobody_is_buried_by_an_absurd_reading() -> None:
    """Logarithms stay finite whatever was typed."""
    found = _log_likelihood(_read({"Au": 100.0}, "lab"))

    assert np.isfinite(found).all()


@pytest.mark.parametrize("technique", ["lab", "xrf", "libs"])
def test_a_reading_in_the_middle_of_every_limit_names_the_grade(technique: str) -> None:
    """The typical melt of a well-known grade leads to it or its twins by every technique."""
    library = load()
    spreads = spreads_of(library)
    for grade_id in ("6061", "7075", "C36000", "C93200", "Alloy 718", "Ti-6Al-4V", "D2", "M2", "2205"):
        row = library.index_of(grade_id)
        means = dict(zip(library.elements, spreads.mean[row], strict=True))
        seen = {s: x for s, x in means.items() if s not in profiles()[technique].unseen and x > 0.05}
        scale = min(1.0, 100.0 / sum(seen.values()))

        verdict = identify(_read({s: x * scale for s, x in seen.items()}, technique), library)

        assert verdict.best is not None
        named = {verdict.best.grade.grade_id, *(twin.grade_id for twin in verdict.best.twins)}
        assert grade_id in named, (technique, grade_id, verdict.best.grade.grade_id)
