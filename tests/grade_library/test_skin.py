"""Skin and core: what is suspected, what is not, and what the sorter is told."""

import pytest

from grade_library.facts import (
    BenchFacts,
    Claim,
    Heft,
    MagnetPull,
    Measured,
    PieceFacts,
    Reading,
    Shot,
    Surface,
)
from grade_library.grade import Colour
from grade_library.library import GradeLibrary, load
from grade_library.matcher.matching import identify
from grade_library.naming.names import NameIndex
from grade_library.verdict import SkinVerdict, Verdict


@pytest.fixture(scope="module")
def library() -> GradeLibrary:
    return load()


def shot(*, ground: bool = False, technique: str = "xrf", **values: float) -> Shot:
    return Shot(reading=Reading(values=values, technique=technique), is_ground=ground)


def skin_of(
    library: GradeLibrary, *shots: Shot, bench: BenchFacts | None = None
) -> tuple[SkinVerdict, Verdict]:
    verdict = identify(PieceFacts(shots=shots, bench=bench or BenchFacts()), library)
    assert verdict.skin is not None
    return verdict.skin, verdict


CLEAN = [
    {"Cr": 18.2, "Ni": 8.1, "Mn": 1.5, "Si": 0.4, "Fe": 71.6},
    {"Cr": 16.9, "Ni": 10.2, "Mo": 2.1, "Mn": 1.4, "Si": 0.5, "Fe": 68.7},
    {"Cr": 16.4, "Mn": 0.5, "Fe": 82.8},
    {"Fe": 98.9, "Mn": 0.8, "Si": 0.2},
    {"Cu": 61.4, "Zn": 35.8, "Pb": 2.6, "Fe": 0.1},
    {"Cu": 70.1, "Zn": 29.8},
    {"Cu": 99.9},
    {"Cu": 65.0, "Zn": 17.2, "Ni": 17.6},
    {"Cu": 88.4, "Ni": 9.8, "Fe": 1.3, "Mn": 0.5},
    {"Ni": 61.5, "Cr": 21.8, "Mo": 8.9, "Nb": 3.6, "Fe": 4.0},
    {"Ni": 65.8, "Cu": 31.2, "Fe": 1.8, "Mn": 1.0},
    {"Al": 97.6, "Mg": 1.0, "Si": 0.7, "Cu": 0.3, "Fe": 0.4},
    {"Al": 89.6, "Zn": 5.6, "Mg": 2.4, "Cu": 1.6, "Cr": 0.2, "Fe": 0.2},
    {"Zn": 95.8, "Al": 4.0, "Mg": 0.1},
    {"Ti": 89.6, "Al": 6.2, "V": 4.0, "Fe": 0.2},
    {"Ti": 99.7, "Fe": 0.2},
    {"Cu": 92.3, "Sn": 5.1, "P": 0.15, "Zn": 0.2},
    {"Cu": 84.6, "Sn": 5.0, "Pb": 5.2, "Zn": 5.0},
]


@pytest.mark.parametrize("technique", ["xrf", "libs"])
@pytest.mark.parametrize("values", CLEAN)
def test_a_clean_piece_is_never_nagged(
    library: GradeLibrary, values: dict[str, float], technique: str
) -> None:
    """Common metals raise no suspicion, at one shot nor at a second after a grind, which settles them."""
    if technique == "libs":
        values = {symbol: x for symbol, x in values.items() if symbol != "P"}
    one, _ = skin_of(library, shot(technique=technique, **values))
    two, _ = skin_of(
        library, shot(technique=technique, **values), shot(technique=technique, ground=True, **values)
    )

    assert not one.is_suspected and one.coating is None and one.advice == ""
    assert not two.is_suspected and two.has_arrived
    assert two.shares == (0.0, 0.0)


PLATED = [
    ("zinc", {"Zn": 76.0, "Fe": 23.7, "Mn": 0.2}, {"zinc", "hot-dip zinc", "zinc primer"}, "Fe"),
    ("nickel on steel", {"Ni": 76.0, "Fe": 23.6, "Mn": 0.2}, {"nickel", "chromium over nickel"}, "Fe"),
    ("tin on copper", {"Sn": 37.0, "Cu": 62.8}, {"tin"}, "Cu"),
    ("cadmium", {"Cd": 70.0, "Fe": 29.6, "Mn": 0.2}, {"cadmium"}, "Fe"),
    ("silver on brass", {"Ag": 59.4, "Cu": 23.4, "Zn": 17.2}, {"silver", "braze metal"}, "Cu"),
    ("chromium over nickel", {"Cr": 3.1, "Ni": 90.0, "Fe": 6.5}, {"chromium over nickel"}, "Fe"),
    ("zinc-nickel", {"Zn": 61.0, "Ni": 9.5, "Fe": 29.0, "Mn": 0.2}, {"zinc-nickel"}, "Fe"),
    ("white paint", {"Ti": 26.0, "Ca": 7.0, "Ba": 3.0, "Fe": 63.0, "Mn": 0.4}, {"white paint"}, "Fe"),
    ("lead paint", {"Pb": 74.0, "Fe": 10.0, "Cr": 5.0, "Ca": 5.0, "Ti": 3.0, "Zn": 3.0}, {"lead paint"}, ""),
]


@pytest.mark.parametrize(("name", "values", "coatings", "base"), PLATED)
def test_a_plated_piece_is_flagged_at_the_first_shot(
    library: GradeLibrary, name: str, values: dict[str, float], coatings: set[str], base: str
) -> None:
    """Readings that mix a coating with a usual substrate name the coating and, where it shows, the core."""
    skin, verdict = skin_of(library, shot(**values))

    assert skin.is_suspected and skin.probability > 0.9
    assert skin.coating in coatings
    assert "looks like" in skin.advice.casefold()
    if base:
        assert verdict.candidates[0].grade.base == base
        assert sum(c.probability for c in verdict.candidates if c.grade.base == base) > 0.5


def test_when_a_skin_is_suspected_the_candidates_are_those_of_the_core(library: GradeLibrary) -> None:
    """The verdict's own list is the core's, with probabilities that sum to one with unlisted."""
    skin, verdict = skin_of(library, shot(Ni=76.0, Fe=23.6, Mn=0.2))

    assert skin.core == verdict.candidates
    assert sum(c.probability for c in skin.core) + verdict.unlisted <= 1.0 + 1e-9
    assert not any(c.grade.group == "nickel" and c.probability > 0.05 for c in verdict.candidates)
    assert verdict.candidates[0].reasons


def test_shares_fall_as_the_spot_is_ground(library: GradeLibrary) -> None:
    """The skin's share is told for each shot, in the order shot."""
    skin, _ = skin_of(
        library,
        shot(Zn=95.0, Fe=4.9),
        shot(Zn=60.0, Fe=39.6, Mn=0.2, ground=True),
        shot(Zn=8.0, Fe=91.2, Mn=0.6, ground=True),
    )

    assert skin.is_suspected
    assert skin.shares[0] > 0.9 > 0.7 > skin.shares[1] > 0.4 > 0.2 > skin.shares[2] > 0.04
    assert "Zn falls from 95 to 60 to 8 %" in skin.advice


def test_a_series_that_came_through_is_no_longer_suspected(library: GradeLibrary) -> None:
    """Two shots that agree after the last grind end the suspicion; the skin stays in the first share."""
    skin, verdict = skin_of(
        library,
        shot(Zn=95.0, Fe=4.9),
        shot(Fe=98.8, Mn=0.9, Si=0.2, ground=True),
        shot(Fe=98.7, Mn=0.9, Si=0.3, ground=True),
    )

    assert skin.has_arrived and not skin.is_suspected and skin.coating is None
    assert skin.shares[0] > 0.9 and skin.shares[-1] < 0.05
    assert verdict.candidates[0].grade.group == "steel"


def test_one_clean_shot_after_a_skin_asks_for_one_more(library: GradeLibrary) -> None:
    """A single reading of the core is told, but not settled."""
    skin, verdict = skin_of(library, shot(Zn=95.0, Fe=4.9), shot(Fe=98.8, Mn=0.9, Si=0.2, ground=True))

    assert skin.is_suspected and not skin.has_arrived
    assert "once more" in skin.advice
    assert verdict.candidates[0].grade.group == "steel"


def test_shots_that_differ_for_no_known_reason_are_said_to(library: GradeLibrary) -> None:
    """Where no coating explains a first reading, the shots still differ, and that is said."""
    skin, verdict = skin_of(
        library,
        shot(Bi=40.0, Sb=25.0, Te=20.0, Se=14.0),
        shot(Cu=70.1, Zn=29.8, ground=True),
    )

    assert skin.is_suspected and skin.coating == "surface layer"
    assert "shots differ" in skin.advice
    assert verdict.candidates[0].grade.group == "brass"


def test_a_plating_thicker_than_a_grind_is_not_settled_by_the_magnet(library: GradeLibrary) -> None:
    """Zinc that reads the same after a grind but pulls the magnet is still taken for a skin."""
    bench = BenchFacts(magnet=MagnetPull.STRONG)
    skin, _ = skin_of(library, shot(Zn=98.9, Fe=0.6), shot(Zn=98.8, Fe=0.7, ground=True), bench=bench)
    assert skin.is_suspected and not skin.has_arrived


def test_a_certificate_has_no_skin(library: GradeLibrary) -> None:
    """A laboratory's result is of the metal: there is no skin verdict for it."""
    verdict = identify(PieceFacts(shots=(shot(technique="lab", Sn=99.95),)), library)
    assert verdict.skin is None


def test_shots_of_two_techniques_tell_of_one_piece(library: GradeLibrary) -> None:
    """A laser sees only the zinc, x-rays the steel beneath it: together they are zinc on steel."""
    skin, verdict = skin_of(library, shot(technique="libs", Zn=99.2, Fe=0.6), shot(Zn=76.0, Fe=23.6, Mn=0.2))
    assert skin.is_suspected and skin.coating in {"zinc", "hot-dip zinc", "zinc primer"}
    assert skin.shares[0] > skin.shares[1] > 0.5
    assert verdict.candidates[0].grade.base == "Fe"


@pytest.mark.parametrize("values", [{"Ni": 61.0}, {"Zn": 36.0}, {"Pb": 5.0, "Sn": 5.0}, {"Ni": 8.1}])
def test_a_reading_half_typed_is_not_suspected(library: GradeLibrary, values: dict[str, float]) -> None:
    """The first elements of a reading, typed one by one, raise no suspicion on the way."""
    skin, _ = skin_of(library, shot(**values))
    assert not skin.is_suspected and skin.shares == (0.0,)


def test_every_shot_has_its_share_whatever_it_tells(library: GradeLibrary) -> None:
    """Certificates and half-typed readings keep their place among the shares."""
    skin, _ = skin_of(
        library, shot(technique="lab", Fe=98.0), shot(Zn=95.0, Fe=4.9), shot(Zn=3.0, ground=True)
    )
    assert len(skin.shares) == 3
    assert skin.shares[0] == 0.0 and skin.shares[1] > 0.9


def test_beryllium_beneath_is_warned_of_before_a_file_is_named(library: GradeLibrary) -> None:
    """Copper that may hold beryllium is not ground for a look beneath its plating without the caution."""
    skin, _ = skin_of(library, shot(Sn=20.0, Cu=79.6, Co=0.25))
    assert skin.is_suspected
    assert skin.advice.startswith("Caution first: beryllium")


def test_without_a_shot_there_is_no_skin_verdict(library: GradeLibrary) -> None:
    """Bench facts alone say nothing of a reading's skin."""
    bench = BenchFacts(surfaces=frozenset({Surface.PLATED}))
    assert identify(PieceFacts(bench=bench), library).skin is None


def probability(library: GradeLibrary, bench: BenchFacts, **values: float) -> float:
    return skin_of(library, shot(**values), bench=bench)[0].probability


@pytest.mark.parametrize(
    ("values", "bench", "words"),
    [
        ({"Ni": 16.0, "Zn": 18.0, "Cu": 64.0}, BenchFacts(scratch=Colour.YELLOW), "scratch yellow"),
        ({"Sn": 100.0}, BenchFacts(magnet=MagnetPull.STRONG), "magnet strong"),
        ({"Sn": 100.0}, BenchFacts(density_g_cm3=Measured(value=8.9, sigma=0.05)), "density 8.9"),
        (
            {"Ti": 90.0, "Ca": 5.0, "Zn": 2.0, "Fe": 3.0},
            BenchFacts(magnet=MagnetPull.STRONG, heft=Heft.NORMAL),
            "magnet strong",
        ),
        ({"Ag": 99.5, "Cu": 0.4}, BenchFacts(scratch=Colour.RED), "scratch red"),
    ],
)
def test_hand_and_eye_against_the_reading_raise_the_suspicion_and_are_said(
    library: GradeLibrary, values: dict[str, float], bench: BenchFacts, words: str
) -> None:
    """A colour, a magnet or a density that the reading cannot explain is a sign of a skin, in plain words."""
    without = probability(library, BenchFacts(), **values)
    skin, _ = skin_of(library, shot(**values), bench=bench)

    assert skin.is_suspected
    assert skin.probability > without or without > 0.99
    assert words in skin.advice.casefold()
    assert "does not go with" in skin.advice


@pytest.mark.parametrize(
    "values", [{"Cu": 64.0, "Zn": 18.0, "Ni": 16.0}, {"Cu": 55.0, "Zn": 27.0, "Ni": 18.0}]
)
@pytest.mark.parametrize(
    "bench", [BenchFacts(scratch=Colour.YELLOW), BenchFacts(surfaces=frozenset({Surface.PLATED}))]
)
def test_a_perfect_nickel_silver_is_not_believed_against_hand_and_word(
    library: GradeLibrary, values: dict[str, float], bench: BenchFacts
) -> None:
    """Half-ground nickel plate on brass reads inside every limit; a yellow mark or a word says what it is."""
    plain, _ = skin_of(library, shot(**values))
    skin, _ = skin_of(library, shot(**values), bench=bench)

    assert not plain.is_suspected
    assert skin.is_suspected
    assert skin.coating in {"nickel", "chromium over nickel"}


def test_words_for_a_surface_raise_the_suspicion(library: GradeLibrary) -> None:
    """A piece called plated is suspected sooner, a piece called bare later."""
    values = {"Cu": 64.0, "Zn": 18.0, "Ni": 16.0}
    plated = probability(library, BenchFacts(surfaces=frozenset({Surface.PLATED})), **values)
    silent = probability(library, BenchFacts(), **values)
    assert plated > silent
    tin = {"Sn": 100.0}
    bare = probability(library, BenchFacts(surfaces=frozenset({Surface.BARE})), **tin)
    assert bare < probability(library, BenchFacts(), **tin)


def test_a_claim_speaks_for_solid_tin(library: GradeLibrary) -> None:
    """A stamp that says tin makes solid tin likelier than tin plate."""
    claim = Claim(text="tin ingot", label="Tin 99.85", grade_ids=frozenset({"Tin 99.85", "Tin Grade A"}))
    verdict = identify(PieceFacts(shots=(shot(Sn=99.95),), claim=claim), library)
    assert verdict.skin is not None and not verdict.skin.is_suspected


@pytest.mark.parametrize(
    ("values", "caution", "never"),
    [
        ({"Cd": 97.0, "Fe": 2.9}, "Caution first: cadmium", "and shoot again"),
        ({"Pb": 78.0, "Sn": 14.0, "Fe": 7.9}, "Caution first: lead", "grind to"),
        ({"Cr": 99.6, "Fe": 0.3}, "Caution first: chromium(VI)", "scrape"),
    ],
)
def test_the_caution_comes_before_the_advice(
    library: GradeLibrary, values: dict[str, float], caution: str, never: str
) -> None:
    """Dust of cadmium, lead and chromate is warned of before anything is said of getting through."""
    skin, _ = skin_of(library, shot(**values))

    assert skin.is_suspected
    assert skin.advice.startswith(caution)
    assert never not in skin.advice


def test_the_depth_to_grind_is_told(library: GradeLibrary) -> None:
    """Zinc plate is a few hundredths of a millimetre, and the advice says so."""
    skin, _ = skin_of(library, shot(Zn=76.0, Fe=23.7, Mn=0.2))
    assert "the coating is up to 0.03 mm" in skin.advice


def test_a_plain_reading_is_not_looked_into(library: GradeLibrary, monkeypatch: pytest.MonkeyPatch) -> None:
    """A reading without any sign of a skin never reaches the costly hypotheses."""

    def refuse(*_: object) -> None:
        raise AssertionError("looked into")

    monkeypatch.setattr("grade_library.skin.finding.coated_pieces", refuse)
    skin, _ = skin_of(library, shot(**CLEAN[0]))
    assert not skin.is_suspected
    # Without its lead the reading fits another brass better, but one that is called so fits it too.
    claim = NameIndex(library).resolve("yellow brass")
    found = identify(PieceFacts(shots=(shot(Cu=61.2, Zn=35.8),), claim=claim), library)
    assert found.skin is not None and not found.skin.is_suspected


def test_same_input_same_answer(library: GradeLibrary) -> None:
    """The finding is a pure function of the facts."""
    shots = (shot(Ni=76.0, Fe=23.6, Mn=0.2), shot(Ni=20.0, Fe=79.4, Mn=0.5, ground=True))
    assert skin_of(library, *shots)[0] == skin_of(library, *shots)[0]
