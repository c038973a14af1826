"""The series of shots, drawn, from records alone."""

from dataclasses import replace

import pytest

from console.panes.piece.series_pane import SeriesPane, main_elements, shots_shown
from console.panes.piece.skin_warning import lines_for, warning
from grade_library.facts import Reading, Shot
from grade_library.library import load
from grade_library.verdict import Candidate, SkinVerdict, Verdict

SHOTS = (
    Shot(reading=Reading(values={"Ni": 25.0, "Cr": 65.0, "Fe": 0.2})),
    Shot(reading=Reading(values={"Ni": 16.0, "Zn": 18.0, "Cu": 64.0}), is_ground=True),
    Shot(reading=Reading(values={"Ni": 2.0, "Zn": 26.0, "Cu": 70.0}, below={"Cr": 0.1}), is_ground=True),
)
BRASS = Candidate(grade=load().grade("C26000"), probability=0.9)
SKIN = SkinVerdict(
    is_suspected=True,
    coating="chromium over nickel",
    probability=0.97,
    shares=(0.99, 0.39, 0.12),
    has_arrived=False,
    core=(BRASS,),
    advice="Grind to yellow and shoot again",
)
VERDICT = Verdict(candidates=(BRASS,), unlisted=0.1, skin=SKIN)


def drawn(shots: tuple[Shot, ...], verdict: Verdict | None, width: int, height: int) -> list[str]:
    """Return the lines of the pane for a room."""
    pane = SeriesPane()
    pane.set_reactive(SeriesPane.shots, shots)
    pane.set_reactive(SeriesPane.verdict, verdict)
    return [line.plain for line in pane.draw(width, height)]


@pytest.mark.parametrize("width", [76, 116, 156])
def test_every_main_element_stands_against_every_shot(width: int) -> None:
    """Values in the order shot, the skin share below, the likeliest core at the right; no line too wide."""
    lines = drawn(SHOTS, VERDICT, width, 20)
    [nickel] = [line for line in lines if line.startswith("Ni")]
    [chromium] = [line for line in lines if line.startswith("Cr ")]
    [skin] = [line for line in lines if line.startswith("skin")]

    assert [float(word) for word in nickel.split() if word.replace(".", "").isdigit()][:3] == [
        25.0,
        16.0,
        2.0,
    ]
    assert "<0.1" in chromium and "·" in chromium
    assert skin.split()[1:3] == ["99", "%"] and "12 %" in skin
    assert "core C26000" in lines[0] and "shot 2" in lines[0]
    assert all(len(line) <= width for line in lines)
    assert not any("Grind to yellow" in line for line in lines), "the warning beside it says so"


def test_a_trace_is_no_main_element_and_the_order_is_that_of_the_core() -> None:
    """Iron at 0.2 % is left out; what the last shot holds most of stands first."""
    assert main_elements(SHOTS, 9) == ["Cu", "Zn", "Ni", "Cr"]
    assert main_elements(SHOTS, 2) == ["Cu", "Cr"]


def test_in_ten_rows_the_element_that_falls_is_drawn() -> None:
    """Every row of the room serves: four elements, the share of the skin and three rows of words."""
    lines = drawn(SHOTS, VERDICT, 56, 10)

    assert [line[:3].strip() for line in lines[1:6]] == ["Cu", "Zn", "Ni", "Cr", "ski"]
    assert len(lines) == 10 and lines[-1].startswith("beneath it: C26000")


@pytest.mark.parametrize("count", range(1, 12))
@pytest.mark.parametrize("room", range(1, 8))
def test_the_newest_shot_is_always_shown(count: int, room: int) -> None:
    """However little room there is; never more than there is room for, never one twice."""
    shown = shots_shown(count, room)

    assert shown[-1] == count - 1 and len(shown) <= room
    assert shown == sorted(set(shown))


def test_no_shot_says_what_to_type() -> None:
    """An empty picture says how to fill it."""
    assert "cr18.2 ni8.1 is a shot" in drawn((), None, 76, 10)[0]


def test_a_clean_piece_draws_no_skin() -> None:
    """No skin row, no warning; the sentence says so."""
    lines = drawn(SHOTS[-1:], replace(VERDICT, skin=None), 76, 10)

    assert not any(line.startswith("skin") for line in lines)
    assert "No skin is suspected" in lines[-1]


@pytest.mark.parametrize("width", [78, 118])
def test_the_warning_says_what_to_do_in_few_rows(width: int) -> None:
    """Skin, how sure, what to do; silent once nothing is suspected; calm once the core is reached."""
    lines = [line.plain for line in lines_for(SKIN, width)]
    assert 1 <= len(lines) <= 3 and "SKIN, NOT THE METAL" in lines[0] and "97 % likely: " in lines[0]
    assert "Grind to yellow" in " ".join(lines)

    assert lines_for(None, width) == []
    assert lines_for(replace(SKIN, is_suspected=False), width) == []
    assert "core reached" in warning(replace(SKIN, has_arrived=True)).plain


@pytest.mark.parametrize(
    ("symbol", "said"), [("Cu", "68.5 to 71.5"), ("Pb", "<= 0.07"), ("Zn", "the rest"), ("Ti", "")]
)
def test_limits_of_the_core_are_said_as_they_are(symbol: str, said: str) -> None:
    """Two ends, one end, the rest, and nothing where the grade does not name it (cartridge brass, C26000)."""
    pane = SeriesPane()
    pane.set_reactive(SeriesPane.verdict, VERDICT)

    assert pane._limits(symbol) == said


def test_what_the_series_came_to_is_said_of_the_shots_that_say_it() -> None:
    """A skin that the first shot read is not denied once the last is of the metal; a bare piece has none."""
    over = replace(SKIN, is_suspected=False, shares=(0.99, 0.5, 0.01))
    bare = replace(SKIN, is_suspected=False, shares=(0.0, 0.49, 0.01))

    said = drawn(SHOTS, replace(VERDICT, skin=over), 116, 20)[-1]
    assert said == "The skin was read by shots 1, 2; in what was read last none is suspected."
    assert drawn(SHOTS, replace(VERDICT, skin=bare), 116, 20)[-1] == "No skin is suspected on what was read."
    assert drawn(SHOTS, replace(VERDICT, skin=None), 116, 20)[-1] == "No skin is suspected on what was read."


def test_a_core_that_is_no_likelier_than_not_is_only_the_nearest() -> None:
    """The head of the last column names a core from an even chance on."""
    for share, word in ((0.50, "core C26000"), (0.49, "nearest C26000")):
        verdict = replace(VERDICT, candidates=(replace(BRASS, probability=share),))
        assert word in drawn(SHOTS, verdict, 116, 20)[0]


@pytest.mark.parametrize(("width", "said"), [(36, "C26000 90 % +2"), (46, "C26000 90 %, C27000 5 % +1")])
def test_the_metals_beneath_a_skin_are_whole_and_counted(width: int, said: str) -> None:
    """One row, no name cut in its middle; those that have no room are counted."""
    others = (
        Candidate(grade=load().grade("C27000"), probability=0.05),
        Candidate(grade=load().grade("C28000"), probability=0.02),
    )
    skin = replace(SKIN, core=(BRASS, *others))

    lines = drawn(SHOTS, replace(VERDICT, skin=skin), width, 20)
    assert lines[-1] == f"beneath it: {said}"
