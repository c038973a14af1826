"""Placement: expected worth by the probabilities, vetoes, and how sure it is."""

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from console.ground.figures import percent
from console.yard.placing.place import place
from console.yard.placing.placement import Placement, Sureness
from console.yard.yard import Yard
from grade_library.facts import BenchFacts, Form, PieceFacts, Reading, Shot, Surface
from grade_library.library import GradeLibrary
from grade_library.verdict import Candidate, SkinVerdict, Verdict
from tests.console.yard.conftest import SMALL_YARD, yard_of_text
from tests.yards import load_yard


@pytest.fixture
def yard(folder: Path, library: GradeLibrary) -> Yard:
    return load_yard(folder, library)


def verdict(library: GradeLibrary, shares: dict[str, float], unlisted: float | None = None) -> Verdict:
    """A verdict with these probabilities; what is missing to 1 is unlisted."""
    rest = 1.0 - sum(shares.values()) if unlisted is None else unlisted
    candidates = tuple(
        Candidate(grade=library.grade(grade_id), probability=share)
        for grade_id, share in sorted(shares.items(), key=lambda item: -item[1])
    )
    return Verdict(candidates=candidates, unlisted=rest)


def worth(placement: Placement, code: str) -> float:
    return next(w.worth_per_kg for w in placement.ranking if w.bay.code == code)


def test_worth_is_the_sum_over_probabilities(library: GradeLibrary, yard: Yard) -> None:
    """70 % accepted at 2.3 and 30 % refused at 0.4 is worth 1.73 per kg."""
    placement = place(verdict(library, {"316": 0.7, "304": 0.25}), PieceFacts(), 5_000, yard)

    assert worth(placement, "STM") == pytest.approx(0.7 * 2.3 + 0.3 * 0.4)
    assert worth(placement, "STN") == pytest.approx(0.95 * 1.4 + 0.05 * 0.4)
    assert [w.bay.code for w in placement.ranking] == ["STM", "STN", "SMX"]
    assert (placement.bay.code, placement.sureness) == ("STM", Sureness.LEANING)


def test_unlisted_counts_as_refused(library: GradeLibrary, yard: Yard) -> None:
    """Metal that no grade fits counts as refused by every bay."""
    placement = place(verdict(library, {"304": 0.5}, unlisted=0.5), PieceFacts(), None, yard)

    assert placement.bay.is_hold
    assert placement.sureness is Sureness.OPEN
    assert placement.reason == "hold: 50 % that no grade of the library fits"


def test_the_dearest_bay_that_is_sure_enough_wins(library: GradeLibrary, yard: Yard) -> None:
    """Of the bays that are sure enough the dearest is suggested."""
    placement = place(verdict(library, {"304": 0.97, "316": 0.02}), PieceFacts(), None, yard)

    assert (placement.bay.code, placement.sureness) == ("STN", Sureness.SETTLED)
    assert placement.reason.startswith("bay STN: 99 % accepted")


def test_twins_that_go_to_one_bay_never_hold_a_piece_up(library: GradeLibrary, yard: Yard) -> None:
    """Grades that one bay takes alike need not be told apart."""
    placement = place(verdict(library, {"304": 0.34, "304L": 0.33, "321": 0.32}), PieceFacts(), None, yard)

    assert (placement.bay.code, placement.sureness) == ("STN", Sureness.SETTLED)


def test_nothing_known_is_hold(yard: Yard) -> None:
    """A piece of which nothing is known goes on hold."""
    placement = place(Verdict(candidates=(), unlisted=0.0), PieceFacts(), None, yard)

    assert (placement.bay.code, placement.sureness) == ("HLD", Sureness.OPEN)
    assert "nothing known yet" in placement.reason
    assert len(placement.ranking) == 3


def test_a_refused_grade_above_the_threshold_is_a_veto(library: GradeLibrary, yard: Yard) -> None:
    """A refused grade rules a bay out above the threshold and not below."""
    below = place(verdict(library, {"304": 0.95, "201": 0.04}), PieceFacts(), None, yard)
    above = place(verdict(library, {"304": 0.90, "201": 0.06}), PieceFacts(), None, yard)

    assert below.bay.code == "STN"
    assert below.reason == "bay STN: 95 % accepted; 201 at 4 % would be refused"
    assert above.bay.code == "SMX"
    assert above.reason == "bay SMX: 96 % accepted; not STN: 201 refused, 6 % likely"


def test_a_reading_above_a_bays_limit_is_a_veto(library: GradeLibrary, yard: Yard) -> None:
    """A reading above a bay's limit rules it out, and the reason says so."""
    facts = PieceFacts(shots=(Shot(reading=Reading(values={"Cr": 18.0, "Ni": 8.0, "Cu": 1.2})),))

    placement = place(verdict(library, {"304": 0.99}), facts, None, yard)

    assert placement.bay.code == "SMX"
    assert "not STN: Cu up to 0.75: reading 1.2" in placement.reason


def test_a_reading_of_a_skin_is_no_veto(library: GradeLibrary, yard: Yard) -> None:
    """Copper plating on a stainless piece says nothing of its copper."""
    facts = PieceFacts(shots=(Shot(reading=Reading(values={"Cu": 90.0})),))
    skin = SkinVerdict(
        is_suspected=True, coating="copper", probability=0.9, shares=(0.9,), has_arrived=False, core=()
    )

    placement = place(replace(verdict(library, {"304": 0.99}), skin=skin), facts, None, yard)

    assert placement.bay.code == "STN"


@pytest.mark.parametrize("is_plate_alone", [False, True])
def test_what_may_be_a_plating_alone_is_never_settled(
    library: GradeLibrary, yard: Yard, is_plate_alone: bool
) -> None:
    """A surface that may be a plating goes to the same bay, but is not settled there, and the reason says
    why."""
    skin = SkinVerdict(
        is_suspected=False, coating=None, probability=0.0, shares=(0.0,), has_arrived=False, core=(),
        is_plate_alone=is_plate_alone,
    )  # fmt: skip

    placement = place(replace(verdict(library, {"304": 0.999}), skin=skin), PieceFacts(), None, yard)

    assert placement.bay.code == "STN"
    assert (placement.sureness is Sureness.SETTLED) != is_plate_alone
    assert ("plated on others" in placement.reason) == is_plate_alone


def test_candidates_that_cannot_keep_a_limit_are_a_veto(library: GradeLibrary, yard: Yard) -> None:
    """303 copper-bearing and 17-4 PH hold more copper than the bay may."""
    copper_rich = next(
        grade.grade_id
        for grade in library.grades
        if grade.series == "300" and "Cu" in grade.limits and (grade.limits["Cu"].low or 0.0) > 0.75
    )

    placement = place(verdict(library, {copper_rich: 0.9, "304": 0.1}), PieceFacts(), None, yard)

    assert (
        next(w.veto for w in placement.ranking if w.bay.code == "STN") == "Cu up to 0.75: 90 % likely above"
    )


def test_surfaces_and_attachments_are_vetoes(library: GradeLibrary, yard: Yard) -> None:
    """Surfaces and attachments that a bay refuses rule it out."""
    painted = PieceFacts(bench=BenchFacts(surfaces=frozenset({Surface.PAINTED}), has_attachments=True))

    placement = place(verdict(library, {"316": 0.99}), painted, None, yard)

    assert {w.bay.code: w.veto for w in placement.ranking} == {
        "SMX": "",
        "STM": "painted refused",
        "STN": "attachments refused",
    }
    assert placement.bay.code == "SMX"


def test_a_piece_that_only_vetoed_bays_would_take_waits_and_says_why(
    library: GradeLibrary, yard: Yard
) -> None:
    """Where the right bay is ruled out the piece waits, and the reason names the bay."""
    without_mixed = replace(yard, bays=tuple(bay for bay in yard.bays if bay.code != "SMX"))
    facts = PieceFacts(bench=BenchFacts(has_attachments=True))

    placement = place(verdict(library, {"304": 0.99}), facts, None, without_mixed)

    assert placement.bay.is_hold
    assert placement.reason == "hold: STN would take the metal, but attachments refused"


def test_metal_that_no_bay_takes_waits(library: GradeLibrary, yard: Yard) -> None:
    """Metal that no bay takes goes on hold and says so."""
    placement = place(verdict(library, {"6061": 0.99}), PieceFacts(), None, yard)

    assert placement.bay.is_hold
    assert placement.reason == "hold: no bay takes 6061"
    many = {grade_id: 0.19 for grade_id in ("6061", "6063", "6060", "6082", "6005A")}
    assert place(verdict(library, many), PieceFacts(), None, yard).reason == (
        "hold: no bay takes what this can be"
    )


def test_what_no_bay_takes_is_named_before_bays_that_are_unlikely(library: GradeLibrary, yard: Yard) -> None:
    """Of a spoon that is silver more likely than not no steel bay is spoken of."""
    placement = place(verdict(library, {"silver 925": 0.56, "304": 0.4}), PieceFacts(), None, yard)

    assert placement.reason == "hold: no bay takes silver 925: 56 %"
    several = verdict(library, {"silver 925": 0.3, "silver 800": 0.26, "304": 0.4})
    assert place(several, PieceFacts(), None, yard).reason == (
        "hold: no bay takes what this likely is, such as silver 925: 56 %"
    )


def test_the_yards_own_thresholds_decide(library: GradeLibrary, yard: Yard) -> None:
    """How sure is sure stands in yard.toml."""
    strict = replace(yard, thresholds=replace(yard.thresholds, settled=0.995, leaning=0.98))

    placement = place(verdict(library, {"304": 0.97}), PieceFacts(), None, strict)

    assert placement.bay.is_hold
    assert "needs 98 %" in placement.reason


def test_a_list_cut_short_stands_for_the_rest(library: GradeLibrary, yard: Yard) -> None:
    """Where a vague piece has more candidates than are listed, the listed ones stand for all."""
    cut = verdict(library, {"304": 0.3, "321": 0.2}, unlisted=0.02)

    placement = place(cut, PieceFacts(), None, yard)

    assert (placement.bay.code, placement.sureness) == ("STN", Sureness.SETTLED)


def test_the_whole_distribution_is_used_where_it_is_given(library: GradeLibrary, yard: Yard) -> None:
    """Grades too improbable to be listed count: 40 % in the tail are refused."""
    listed = verdict(library, {"304": 0.5}, unlisted=0.1)
    whole = replace(listed, share_by_id={"304": 0.5, "6061": 0.4})

    assert place(whole, PieceFacts(), None, yard).bay.is_hold
    assert place(listed, PieceFacts(), None, yard).bay.code == "STN"


@settings(max_examples=60, deadline=None)
@given(weights=st.lists(st.floats(0.0, 1.0), min_size=5, max_size=5))
def test_shares_and_worth_stay_within_their_bounds(library: GradeLibrary, weights: list[float]) -> None:
    """Accepted lies in 0..1, worth between downgrade and price; vetoed bays come last, hold is not ranked."""
    yard = yard_of_text(SMALL_YARD, library)
    total = sum(weights) or 1.0
    ids = ("304", "316", "201", "430", "6061")
    shares = {i: w / total for i, w in zip(ids, weights, strict=True) if w > 0}

    placement = place(verdict(library, shares, unlisted=0.0), PieceFacts(), 1_000, yard)

    assert len(placement.ranking) == 3
    for ranked in placement.ranking:
        assert 0.0 <= ranked.accepted <= 1.0 + 1e-12
        least, most = ranked.bay.downgrade_per_kg, ranked.bay.price_per_kg
        assert least - 1e-9 <= ranked.worth_per_kg <= most + 1e-9
    vetoes = [bool(ranked.veto) for ranked in placement.ranking]
    assert vetoes == sorted(vetoes)
    assert "\n" not in placement.reason and placement.reason


def test_per_cent_is_never_rounded_to_certainty() -> None:
    """A probability short of certain is never written as certain, nor a small one as none."""
    assert [percent(p) for p in (0.0, 0.004, 0.5, 0.996, 1.0)] == ["0 %", "<1 %", "50 %", ">99 %", "100 %"]


def suspected(coating: str, *, has_arrived: bool = False) -> SkinVerdict:
    """A skin that the readings suspect."""
    return SkinVerdict(
        is_suspected=True,
        coating=coating,
        probability=0.9,
        shares=(0.9,),
        has_arrived=has_arrived,
        core=(),
    )


@pytest.mark.parametrize("has_arrived", [False, True])
def test_a_suspected_coating_is_a_veto_where_the_surface_is(library: GradeLibrary, has_arrived: bool) -> None:
    """Chromium over nickel under the gun is plating, and stays on the piece when a spot is ground."""
    yard = yard_of_text(SMALL_YARD.replace('["painted"]', '["plated"]'), library)
    skin = suspected("chromium over nickel", has_arrived=has_arrived)

    placement = place(replace(verdict(library, {"316": 0.99}), skin=skin), PieceFacts(), None, yard)

    assert next(w.veto for w in placement.ranking if w.bay.code == "STM") == (
        "chromium over nickel suspected, refused"
    )
    assert placement.bay.code == "STN"


@pytest.mark.parametrize(("has_arrived", "sureness"), [(False, Sureness.LEANING), (True, Sureness.SETTLED)])
def test_nothing_is_settled_on_a_reading_of_a_skin(
    library: GradeLibrary, yard: Yard, has_arrived: bool, sureness: Sureness
) -> None:
    """The core's grade is worked out before it is reached; it may lean toward a bay, no more."""
    sure = verdict(library, {"304": 0.99, "316": 0.005})
    read = replace(sure, skin=suspected("zinc", has_arrived=has_arrived))

    assert place(sure, PieceFacts(), None, yard).sureness is Sureness.SETTLED
    assert place(read, PieceFacts(), None, yard).sureness is sureness


def test_a_coating_that_the_bay_does_not_mind_is_no_veto(library: GradeLibrary) -> None:
    """A coating rules a bay out only where the bay refuses that coating."""
    text = SMALL_YARD.replace('refused_surfaces = ["painted"]', 'refused_coatings = ["hard chromium"]')
    yard = yard_of_text(text, library)
    known = verdict(library, {"316": 0.99})

    tin = place(replace(known, skin=suspected("tin")), PieceFacts(), None, yard)
    chrome = place(replace(known, skin=suspected("hard chromium")), PieceFacts(), None, yard)

    assert (tin.bay.code, chrome.bay.code) == ("STM", "STN")


def test_a_refused_form_is_a_veto(library: GradeLibrary) -> None:
    """A form that a bay refuses rules it out."""
    text = SMALL_YARD.replace('refused_surfaces = ["painted"]', 'refused_forms = ["turnings"]')
    facts = PieceFacts(bench=BenchFacts(form=Form.TURNINGS))

    placement = place(verdict(library, {"316": 0.99}), facts, None, yard_of_text(text, library))

    assert next(w.veto for w in placement.ranking if w.bay.code == "STM") == "turnings refused"


def test_an_element_refused_at_all_is_a_veto_by_grade_and_by_reading(library: GradeLibrary) -> None:
    """Beryllium copper goes nowhere near a bay that refuses beryllium; lead shows in the reading."""
    bay = (
        '[[bay]]\ncode = "CUB"\nname = "copper"\naccepts = ["group: copper"]\nprice_per_kg = 7\n'
        'refuses_at_all = ["beryllium", "lead"]\n'
    )
    yard = yard_of_text(f"{SMALL_YARD}\n{bay}", library)
    leaded = PieceFacts(shots=(Shot(reading=Reading(values={"Cu": 98.0, "Pb": 1.1})),))

    by_grade = place(verdict(library, {"C11000": 0.8, "C17200": 0.2}), PieceFacts(), None, yard)
    by_reading = place(verdict(library, {"C11000": 1.0}), leaded, None, yard)

    assert (
        by_grade.reason == "hold: CUB would take the metal, but C17200 refused, 20 % likely (holds beryllium)"
    )
    assert by_reading.reason == "hold: CUB would take the metal, but lead refused: reading 1.1"


def test_the_reason_says_what_keeps_the_refusals_away(library: GradeLibrary, yard: Yard) -> None:
    """The reason tells what was read against the limit and which refused grade is out."""
    facts = PieceFacts(shots=(Shot(reading=Reading(values={"Cr": 18.0, "Ni": 8.0, "Cu": 0.3})),))

    placement = place(verdict(library, {"304": 0.99, "201": 0.004}), facts, None, yard)

    assert placement.reason == "bay STN: 99 % accepted; Cu 0.3 of at most 0.75; not of what STN refuses (200)"


def test_a_piece_that_every_bay_refuses_by_grade_says_which_and_why(library: GradeLibrary) -> None:
    """Metal that no bay may have at all waits, with the bay and its rule in the reason."""
    bay = (
        '[[bay]]\ncode = "CUB"\nname = "copper"\naccepts = ["group: copper"]\nprice_per_kg = 7\n'
        'refuses_at_all = ["beryllium"]\n'
    )

    placement = place(
        verdict(library, {"C17200": 0.97}), PieceFacts(), None, yard_of_text(f"{SMALL_YARD}\n{bay}", library)
    )

    assert placement.reason == (
        "hold: CUB takes such metal, but C17200 refused, 97 % likely (holds beryllium)"
    )


@pytest.mark.parametrize(("share", "is_out"), [(0.004, True), (0.0075, False)])
def test_refused_metal_is_ruled_out_below_a_hundredth(
    library: GradeLibrary, yard: Yard, share: float, is_out: bool
) -> None:
    """Less than 1 % of refused metal in all is called ruled out, more is not."""
    refused = {"201": share, "202": share}
    placement = place(verdict(library, {"304": 0.98, **refused}), PieceFacts(), None, yard)

    assert placement.bay.code == "STN"
    assert ("not of what STN refuses (200)" in placement.reason) is is_out
