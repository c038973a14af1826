"""identify(): the shape of the answer, and that it is pure."""

import dataclasses

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grade_library.facts import BenchFacts, Claim, MagnetPull, PieceFacts, Reading, Shot
from grade_library.grade import Colour
from grade_library.library import GradeLibrary, load
from grade_library.matcher.matching import identify
from grade_library.technique import profiles_from
from grade_library.verdict import ReasonKind, Verdict


def _read(technique: str = "xrf", **values: float) -> PieceFacts:
    return PieceFacts(shots=(Shot(reading=Reading(values=values, technique=technique)),))


def _claim(text: str, *grade_ids: str, is_exact: bool = True) -> Claim:
    return Claim(text=text, label=text, grade_ids=frozenset(grade_ids), is_exact=is_exact)


def _chances(verdict: Verdict) -> dict[str, float]:
    return {candidate.grade.grade_id: candidate.probability for candidate in verdict.candidates}


def test_nothing_known_gives_no_candidates() -> None:
    """Empty facts are an empty verdict, not a guess."""
    assert identify(PieceFacts(), load()) == Verdict(candidates=(), unlisted=0.0)


def test_a_claim_and_a_magnet_rank_304_first() -> None:
    """With only bench facts and the claim "304", 304 leads clearly."""
    facts = PieceFacts(bench=BenchFacts(magnet=MagnetPull.NONE), claim=_claim("304", "304"))

    best = identify(facts, load()).best

    assert best is not None and best.grade.grade_id == "304" and best.probability > 0.9


def test_a_claim_over_several_grades_is_spread_and_its_own_name_leads() -> None:
    """ "304" may mean 304L too, but the grade of that very name comes first."""
    verdict = identify(PieceFacts(claim=_claim("304", "304", "304L", "304H")), load())
    chances = _chances(verdict)

    assert chances["304"] > chances["304L"] > chances["304H"]
    assert chances["304L"] > 0.05


def test_a_claim_gives_way_to_a_clear_reading() -> None:
    """A stamp is strong but fallible evidence: 316 in the reading beats "304" in the claim."""
    reading = _read(Cr=16.8, Ni=10.3, Mo=2.1, Fe=68.5, Mn=1.5, Si=0.5)
    verdict = identify(dataclasses.replace(reading, claim=_claim("304", "304")), load())

    assert verdict.best is not None
    assert verdict.best.grade.grade_id in {"316", "316L"}
    against = [reason for reason in verdict.best.reasons if reason.kind is ReasonKind.CLAIM]
    assert against and not against[0].is_for


def test_a_guessed_claim_weighs_less_than_an_exact_one() -> None:
    """A name that was only close to what was typed is weaker evidence."""
    exact = identify(PieceFacts(claim=_claim("2205", "2205")), load())
    guessed = identify(PieceFacts(claim=_claim("2205", "2205", is_exact=False)), load())

    assert _chances(exact)["2205"] > _chances(guessed)["2205"]


def test_reasons_are_at_most_five_strongest_first_and_in_words() -> None:
    """Every candidate says why, an element outside with its distance in wt % and in σ."""
    verdict = identify(_read(Cr=18.2, Ni=9.1, Fe=70.0, Mn=1.5, Si=0.4, Cu=0.3, Mo=0.3), load())

    assert all(0 < len(candidate.reasons) <= 5 for candidate in verdict.candidates)
    assert any("inside 17.5-19.5" in reason.text for reason in verdict.candidates[0].reasons)
    outside = identify(_read(Cr=18.2, Ni=11.2, Fe=68.0, Mn=1.5), load())
    texts = [
        r
        for c in outside.candidates
        for r in c.reasons
        if r.kind is ReasonKind.OUTSIDE and c.grade.grade_id == "304"
    ]
    assert texts[0].excess_wt_pct == pytest.approx(0.7, abs=0.01)
    assert "over 10.5" in texts[0].text and "σ)" in texts[0].text


def test_a_mark_and_its_words_agree() -> None:
    """What is inside and counts against the grade says why; what counts for it is never said not to fit."""
    texts = [
        (reason.is_for, reason.text)
        for values in ({"Ni": 79.0, "Cr": 19.6, "Si": 1.2, "Fe": 0.4, "Mn": 0.1}, {"Cu": 99.0, "Ag": 0.4})
        for candidate in identify(_read(**values), load()).candidates
        for reason in candidate.reasons
    ]

    assert any(" inside " in text and not is_for for is_for, text in texts)
    assert any("nearly fits the rest" in text for _, text in texts)
    for is_for, text in texts:
        assert not is_for or ("does not fit" not in text and "oftener" not in text)
        assert is_for or " inside " not in text or text.endswith("others read so oftener")


def test_bench_facts_stand_among_the_reasons_for_and_against() -> None:
    """A strong pull speaks against 304 and is said so."""
    facts = dataclasses.replace(
        _read(Cr=18.2, Ni=8.4, Fe=71.0), bench=BenchFacts(magnet=MagnetPull.STRONG, scratch=Colour.WHITE)
    )
    verdict = identify(facts, load())
    reasons = [r for c in verdict.candidates if c.grade.grade_id == "304" for r in c.reasons]

    assert any(r.kind is ReasonKind.BENCH and not r.is_for and "magnet strong" in r.text for r in reasons)


def test_a_metal_like_nothing_listed_is_called_unlisted_with_the_nearest_grade() -> None:
    """Iron 45, molybdenum 30, vanadium 25 fits no grade: unlisted leads, the nearest say why."""
    verdict = identify(_read(Fe=45.0, Mo=30.0, V=25.0), load())

    assert verdict.unlisted > 0.95
    assert len(verdict.nearest) == 3
    assert any(
        reason.kind in {ReasonKind.OUTSIDE, ReasonKind.RESIDUAL} for reason in verdict.nearest[0].reasons
    )
    assert any("wrong grade" in reason.text for reason in verdict.nearest[0].reasons)


def test_dirt_is_named_as_a_way_out() -> None:
    """Aluminium with calcium and much iron in it is a dirty piece: the metal beneath leads, cleaning is
    advised."""
    verdict = identify(_read(Al=80.0, Mg=1.0, Si=0.6, Ca=6.0, Fe=12.0), load())

    assert verdict.families[0].group == "aluminium"
    assert verdict.skin is not None and verdict.skin.is_suspected
    assert "clean the spot and shoot again" in verdict.skin.advice


def test_the_family_is_said_when_the_grade_is_open() -> None:
    """304 and 304L stay open by x-ray; the series does not."""
    verdict = identify(_read(Cr=18.2, Ni=8.1, Fe=71.0), load())

    assert verdict.family_answer.startswith("300-series stainless")
    assert "Ni about 8.1 %" in verdict.family_answer
    assert any("does not see C" in warning for warning in verdict.warnings)


def test_sums_and_unknown_techniques_are_warned_of() -> None:
    """A reading that misses 100, carbon by x-ray, and a technique without a profile are said, not refused."""
    low = identify(_read(Fe=70.0, Cr=18.0, C=0.05), load())
    strange = identify(_read("ultrasound", Fe=71.0, Cr=18.0, Ni=8.0), load())

    assert any("sums to 88.0 %" in warning for warning in low.warnings)
    assert any("x-ray does not see C: left out" in warning for warning in low.warnings)
    assert any('"ultrasound"' in warning for warning in strange.warnings)


def test_a_yards_own_technique_is_used() -> None:
    """A profile that sees carbon tells 304L from 304H, which x-rays cannot."""
    own = profiles_from({"spark oes": {"like": "lab"}})
    facts = _read("spark oes", Cr=18.2, Ni=8.6, Fe=70.6, Mn=1.5, Si=0.4, C=0.08, S=0.004)

    seen = identify(facts, load(), technique_profiles=own)
    unseen = identify(facts, load())

    assert _chances(unseen)["304L"] > 0.2
    assert _chances(seen).get("304L", 0.0) < 0.1 * _chances(unseen)["304L"]
    assert _chances(seen)["304H"] > 0.1


def test_two_techniques_are_weighed_together() -> None:
    """X-rays give the chromium, a laser the carbon: together they name 304L."""
    shots = (
        Shot(reading=Reading(values={"Cr": 18.2, "Ni": 8.3, "Fe": 71.2, "Mn": 1.5})),
        Shot(
            reading=Reading(
                values={"Cr": 18.0, "Ni": 8.2, "Fe": 71.5, "Mn": 1.5}, below={"C": 0.02}, technique="libs"
            )
        ),
    )

    together, x_ray = identify(PieceFacts(shots=shots), load()), identify(PieceFacts(shots=shots[:1]), load())

    assert _chances(together)["304L"] > _chances(x_ray)["304L"]


@settings(max_examples=25, deadline=None)
@given(
    values=st.dictionaries(
        st.sampled_from(["Cr", "Ni", "Fe", "Cu", "Zn", "Al", "Si", "Mg", "Mo", "Mn", "Pb", "Ti"]),
        st.floats(0.0, 8.4),
        min_size=1,
    ),
    magnet=st.sampled_from([None, *MagnetPull]),
)
def test_probabilities_are_probabilities_whatever_is_typed(
    values: dict[str, float], magnet: MagnetPull | None
) -> None:
    """All candidates and unlisted lie in 0..1, are sorted, and sum to at most 1."""
    facts = PieceFacts(shots=(Shot(reading=Reading(values=values)),), bench=BenchFacts(magnet=magnet))

    verdict = identify(facts, load())

    chances = [candidate.probability for candidate in verdict.candidates]
    assert all(0.0 <= p <= 1.0 for p in [*chances, verdict.unlisted])
    assert chances == sorted(chances, reverse=True)
    assert sum(chances) + verdict.unlisted <= 1.0 + 1e-9


def test_the_order_of_grades_and_elements_changes_nothing() -> None:
    """Shuffling the library or the reading gives the same answer."""
    library = load()
    shuffled = GradeLibrary(reversed(library.grades), library.sources)
    values = {"Cu": 61.5, "Zn": 35.4, "Pb": 3.0, "Fe": 0.1}

    one = identify(_read(**values), library)
    other = identify(_read(**dict(reversed(values.items()))), shuffled)

    assert [c.grade.grade_id for c in one.candidates] == [c.grade.grade_id for c in other.candidates]
    assert [c.probability for c in one.candidates] == pytest.approx([c.probability for c in other.candidates])
    assert identify(_read(**values), library) == one
