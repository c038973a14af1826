"""What a bay is made of: sums that follow the blend formula, and uncertainty that is honest."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from console.yard.chemistry.composition import COMMON_BIAS, BaySums
from console.yard.chemistry.content import Content, content_now, content_of
from console.yard.metals import metals_of
from console.yard.yard import Bay
from grade_library.errors import ObservationError
from grade_library.facts import PieceFacts, Reading, Shot
from grade_library.library import GradeLibrary
from grade_library.technique import profiles
from grade_library.verdict import Candidate, FamilyShare, Verdict

BAY = Bay(code="ALO", name="alu", accepts=("6xxx",), grade_ids=frozenset({"6061", "6063"}))


def blend(masses: list[float], contents: list[float], sigmas: list[float]) -> tuple[float, float]:
    """Return the content of a blend and its uncertainty [wt %]: mass balance, JCGM 100 (GUM), 5.1.2."""
    parts = [mass / sum(masses) for mass in masses]
    content = sum(part * one for part, one in zip(parts, contents, strict=True))
    return content, math.hypot(*(part * one for part, one in zip(parts, sigmas, strict=True)))


def read(cu: float, mass_g: int = 1000, technique: str = "libs") -> Content:
    """Return a piece of 6061 whose copper was read."""
    return Content(
        mass_g=mass_g, shares={"6061": 1.0}, reading=Reading(values={"Cu": cu}, technique=technique)
    )


def test_an_empty_bay_has_no_composition(library: GradeLibrary) -> None:
    """An empty bay is made of nothing."""
    assert BaySums.empty(library).composition() == {}


def test_readings_are_averaged_by_weight(library: GradeLibrary) -> None:
    """A heavy piece counts more than a light one, by weight."""
    sums = BaySums.empty(library).plus(read(0.2, 3000)).plus(read(0.4, 1000))

    assert sums.composition()["Cu"].wt_pct == pytest.approx(0.25)
    assert sums.mass_g == 4000.0


def test_the_analysers_bias_does_not_average_away(library: GradeLibrary) -> None:
    """A hundred readings of one content are as sure as the bias lets them be, not ten times surer than
    one."""
    sums = BaySums.empty(library)
    for _ in range(100):
        sums = sums.plus(read(0.3))

    sigma = profiles()["libs"].sigma("Cu", 0.3)
    expected = math.sqrt(COMMON_BIAS * sigma**2 + (1.0 - COMMON_BIAS) * sigma**2 / 100.0)
    assert sums.composition()["Cu"].sigma == pytest.approx(expected)


def test_pieces_known_by_grade_follow_the_blend_formula(library: GradeLibrary) -> None:
    """Two grades once each: mean by the mass balance, and the common part adds within a grade only."""
    sums = BaySums.empty(library)
    one, two = Content(mass_g=900.0, shares={"6061": 1.0}), Content(mass_g=100.0, shares={"2024": 1.0})
    alone = [BaySums.empty(library).plus(content).composition()["Cu"] for content in (one, two)]

    mixed = sums.plus(one).plus(two).composition()["Cu"]

    expected = blend([900.0, 100.0], [a.wt_pct for a in alone], [a.sigma for a in alone])
    assert mixed.wt_pct == pytest.approx(expected[0])
    assert mixed.sigma == pytest.approx(expected[1])


def test_more_pieces_of_one_grade_average_down_to_what_they_share(library: GradeLibrary) -> None:
    """Many pieces of a grade are surer than one, but no surer than what they have in common."""
    content = Content(mass_g=1000.0, shares={"6061": 1.0})
    one = BaySums.empty(library).plus(content)
    many = BaySums.empty(library)
    for _ in range(400):
        many = many.plus(content)

    ratio = many.composition()["Cu"].sigma / one.composition()["Cu"].sigma
    assert 0.5 < ratio < 0.52  # the root of COMMON_SHARE and a four-hundredth of the rest


def test_a_doubtful_piece_makes_the_bay_doubtful(library: GradeLibrary) -> None:
    """Five per cent that it is 2024 raise the copper and its uncertainty far above those of clean 6061."""
    clean = BaySums.empty(library).plus(Content(mass_g=1000.0, shares={"6061": 1.0}))
    doubtful = BaySums.empty(library).plus(Content(mass_g=1000.0, shares={"6061": 0.95, "2024": 0.05}))

    assert doubtful.composition()["Cu"].wt_pct > clean.composition()["Cu"].wt_pct + 0.1
    assert doubtful.composition()["Cu"].sigma > 5.0 * clean.composition()["Cu"].sigma


def test_an_unlisted_share_widens_everything(library: GradeLibrary) -> None:
    """Metal that is no grade of the library makes every element less sure."""
    sure = BaySums.empty(library).plus(Content(mass_g=1.0, shares={"6061": 1.0})).composition()
    unsure = BaySums.empty(library).plus(Content(mass_g=1.0, shares={"6061": 0.8})).composition()

    assert unsure["Cu"].sigma > sure["Cu"].sigma
    assert unsure["Al"].sigma < 100.0 - unsure["Al"].wt_pct + sure["Al"].sigma


def test_what_the_buyer_refuses_is_counted(library: GradeLibrary) -> None:
    """The refused and the unlisted share of a piece count as refused weight."""
    sums = BaySums.empty(library).plus(Content(mass_g=1000.0, shares={"6061": 0.9, "2024": 0.06}), BAY)

    assert sums.refused_g == pytest.approx(100.0)


@settings(max_examples=25, deadline=None)
@given(share=st.floats(0.0, 1.0), masses=st.lists(st.integers(100, 90_000), min_size=1, max_size=6))
def test_a_part_and_the_rest_make_the_whole(share: float, masses: list[int]) -> None:
    """Weight, pieces and content are kept whatever part is taken."""
    library = _library()
    sums = BaySums.empty(library)
    for index, mass in enumerate(masses):
        sums = sums.plus(read(0.1 * index, mass))

    part, rest = sums.part(share), sums.part(1.0 - share)

    assert part.mass_g + rest.mass_g == pytest.approx(sums.mass_g)
    assert part.weighted + rest.weighted == pytest.approx(sums.weighted)
    assert part.pieces + rest.pieces == pytest.approx(sums.pieces)


def test_a_part_of_a_mixed_bay_is_less_sure(library: GradeLibrary) -> None:
    """Which pieces are in a bale is chance: by simulation of blind picking, about as unsure as the sums
    say."""
    contents = [0.1, 0.2, 0.3, 0.9] * 10
    sums = BaySums.empty(library)
    for cu in contents:
        sums = sums.plus(read(cu, 1000))
    rng = np.random.default_rng(1)

    picked = [np.mean(rng.choice(contents, size=10, replace=False)) for _ in range(4000)]

    bale = sums.part(0.25).composition()["Cu"]
    noise = sums.part(0.25).own[library.elements.index("Cu")] / 10_000.0**2
    assert bale.wt_pct == pytest.approx(np.mean(picked), abs=0.005)
    assert math.sqrt(noise) == pytest.approx(np.std(picked), rel=0.1)
    assert bale.sigma > sums.composition()["Cu"].sigma


@pytest.mark.parametrize("share", [-0.1, 1.1])
def test_no_more_than_the_bay_can_be_taken(share: float, library: GradeLibrary) -> None:
    """A part beyond nothing or all of a bay is refused."""
    with pytest.raises(ObservationError, match="needs 0 to 1"):
        BaySums.empty(library).part(share)


EVIDENCE = {
    "candidates": [{"grade": "6061", "probability": 0.7}, {"grade": "gone", "probability": 0.2}],
    "facts": {"shots": [{"technique": "libs", "wt_pct": {"Cu": 0.31}, "below_wt_pct": {"Sn": 0.05}}]},
}


def content(evidence: dict[str, object], library: GradeLibrary, grade_id: str | None = None) -> Content:
    return content_of(evidence, mass_g=500, pieces=2, grade_id=grade_id, bay=BAY, library=library)


def test_evidence_becomes_metal(library: GradeLibrary) -> None:
    """Candidates that the library still has, and the last reading."""
    found = content(EVIDENCE, library)

    assert found.shares == {"6061": 0.7}
    assert found.reading is not None
    assert found.reading.values == {"Cu": 0.31}
    assert found.reading.below == {"Sn": 0.05}
    assert found.pieces == 2


def test_a_reading_of_a_coating_is_not_of_the_metal(library: GradeLibrary) -> None:
    """A reading that did not reach the metal says nothing of the bay."""
    assert content({**EVIDENCE, "skin": {"suspected": True, "arrived": False}}, library).reading is None
    assert content({**EVIDENCE, "skin": {"suspected": True, "arrived": True}}, library).reading is not None


def test_a_piece_without_evidence_is_its_grade(library: GradeLibrary) -> None:
    """A row that keeps no evidence counts by its grade."""
    assert content({}, library, "6063").shares == {"6063": 1.0}


def test_a_piece_of_which_nothing_was_said_is_what_usually_lies_there(library: GradeLibrary) -> None:
    """Without grade or evidence a piece counts as what the bay accepts, and not all of it."""
    shares = content({}, library).shares

    assert set(shares) == {"6061", "6063"}
    assert sum(shares.values()) == pytest.approx(0.9)


def test_a_piece_at_hand_is_what_it_will_be_once_tallied(library: GradeLibrary) -> None:
    """Shares and reading of a considered piece, the same as from its evidence afterwards."""
    facts = PieceFacts(
        shots=(Shot(reading=Reading(values={"Cu": 0.31}, below={"Sn": 0.05}, technique="libs")),)
    )
    kind = FamilyShare(family="aluminium wrought", group="aluminium", series="6xxx", listed=0.7, unlisted=0.2)
    verdict = Verdict(
        candidates=(Candidate(grade=library.grade("6061"), probability=0.6),),
        unlisted=0.3,
        families=(kind,),
    )
    evidence = EVIDENCE | {
        "candidates": [{"grade": "6061", "probability": 0.6}],
        "unlisted": 0.3,
        "unlisted_of": [["aluminium", "aluminium wrought", "6xxx", 0.2]],
    }

    now = content_now(verdict, facts, 500, 2, BAY, library)

    assert now == content(evidence, library)
    assert now.shares == {"6061": pytest.approx(0.7)}
    assert now.unlisted == {("aluminium", "aluminium wrought", "6xxx"): 0.2}
    assert set(
        content_now(Verdict(candidates=(), unlisted=0.0), PieceFacts(), 500, 1, BAY, library).shares
    ) == {
        "6061",
        "6063",
    }


def test_an_unlisted_alloy_is_like_its_kind(library: GradeLibrary) -> None:
    """A 300-series stainless that no grade fits holds chromium and nickel of the series, and little copper; a
    metal of no kind may be anything."""
    kind = ("stainless", "austenitic stainless", "300")
    of_kind = Content(mass_g=1000.0, shares={"304": 0.1}, unlisted={kind: 0.9})
    of_none = Content(mass_g=1000.0, shares={"304": 0.1})

    known = BaySums.empty(library).plus(of_kind).composition()
    unknown = BaySums.empty(library).plus(of_none).composition()

    assert 15.0 < known["Cr"].wt_pct < 22.0
    assert known["Cr"].sigma < 5.0 < unknown["Cr"].sigma
    assert known["Cu"].sigma < 1.0


def test_the_only_grade_of_a_kind_is_what_its_unlisted_alloys_are_like(library: GradeLibrary) -> None:
    """Mean and spread of melts of a kind are those of its grade where it has one only."""
    metals = metals_of(library)
    of_kind: dict[tuple[str, str, str], list[str]] = {}
    for grade in library.grades:
        of_kind.setdefault((grade.group, grade.family, grade.series), []).append(grade.grade_id)
    alone = [(kind, ids[0]) for kind, ids in of_kind.items() if len(ids) == 1]

    assert len(alone) >= 3
    for kind, grade_id in alone:
        rows = metals.row_of_kind[kind], library.index_of(grade_id)
        assert metals.mean[rows[0]] == pytest.approx(metals.mean[rows[1]])
        assert metals.spread[rows[0]] == pytest.approx(metals.spread[rows[1]], abs=1e-5)


def test_what_was_said_of_the_buyer_stays_while_the_bay_takes_the_same(library: GradeLibrary) -> None:
    """The share expected to be refused is what the placement said, until the bay takes other metal."""
    bay = replace(BAY, grade_ids=frozenset({"6061"}))
    row = {"placement": {"ranking": [["ALO", 1.0, "", 0.97, BAY.rules_mark]]}, **EVIDENCE}

    assert BaySums.empty(library).plus(content(row, library), BAY).refused_g == pytest.approx(15.0)
    changed = content_of(row, mass_g=500, pieces=2, grade_id=None, bay=bay, library=library)
    assert BaySums.empty(library).plus(changed, bay).refused_g == pytest.approx(150.0)


def test_the_buyer_of_a_family_takes_its_unlisted_alloys(library: GradeLibrary) -> None:
    """Without a word from the placement the bay's rules decide, of grades and of kinds."""
    kind = ("aluminium", "aluminium wrought", "6xxx")
    family = replace(BAY, kinds=frozenset({kind}))
    piece = Content(mass_g=1000.0, shares={"6061": 0.6}, unlisted={kind: 0.3})

    assert BaySums.empty(library).plus(piece, family).refused_g == pytest.approx(100.0)
    assert BaySums.empty(library).plus(piece, BAY).refused_g == pytest.approx(400.0)


def test_an_impossible_reading_in_an_old_row_is_left_aside(library: GradeLibrary) -> None:
    """An old row with an impossible reading counts by its grade, and nothing breaks."""
    broken = {"facts": {"shots": [{"technique": "xrf", "wt_pct": {"Cu": 400.0}}]}}

    assert content(broken, library, "6061").reading is None


def _library() -> GradeLibrary:
    from grade_library.library import load

    return load()
