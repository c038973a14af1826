"""A refusal says first which key or word lets it through, then why, and is whole at 80x24."""

from pathlib import Path

import pytest

from tests.driven.driving import Driver, console

SKINNED = "1.2 cr65 ni25 fe1 nix"


def told(driver: Driver) -> str:
    """Return the sentence of a refusal as it stands on the screen, without its breaks."""
    rows = driver.picture().split("\n")
    first = next(i for i, row in enumerate(rows) if "NOT DONE" in row)
    return " ".join(" ".join(rows[first:-1]).split()).removeprefix("NOT DONE ")


@pytest.mark.parametrize(
    ("line", "way"),
    [
        ("304", "Type the weight anywhere on the line, such as 12.4 or 820g"),
        (SKINNED, "? sends it to hold; "),
        ("9 gas bottle", "Enter once more tallies the piece"),
        ("2.2 304 sheeet", "Type 1, or Enter again keeps it as a note."),
        ("2.2 304 ? stn", "Keep one of hold and bay STN"),
        ("2.2 304 m0 m2", "Keep one magnet"),
        ("640 304", "Type p too if the platform scale weighed it"),
        ("6400 p 304", "Look at the point and the unit"),
        ("28-64 304", "Type gross-tare, the heavier first"),
        (
            "3 cr18 ni60 fe71",
            "Fe 71: typed twice or a slipped point? Readings sum to 149",
        ),
        ("T1-H9", "The handover lists the tags of what waits"),
        ("8 =18.2 8.1 71", "Enter again keeps it as a note. Type the elements, as cr18.2 ni8.1"),
    ],
)
async def test_a_refusal_begins_with_its_way_out_and_is_whole(yard: Path, line: str, way: str) -> None:
    """The first words are what to type or press; the last word of the reason stands on the screen too."""
    async with console(yard) as driver:
        await driver.enter(line)

        whole = driver.app.sorting.panes.said.said.text
        assert told(driver) == " ".join(whole.split())
        assert whole.startswith(way)


@pytest.mark.parametrize(
    ("line", "bay"), [("2 plated cr57 ni33 zn7.5 ybr", "YBR"), (f"{SKINNED} ; bright handle", "NIX")]
)
async def test_a_skin_that_shuts_a_bay_covers_neither_metal_nor_bay(yard: Path, line: str, bay: str) -> None:
    """What to do stands once, in the warning above the refusal; bay and metal stay in sight."""
    async with console(yard) as driver:
        await driver.enter(line)
        rows = driver.picture().split("\n")
        first = next(i for i, row in enumerate(rows) if "SKIN, NOT" in row)
        panes = "\n".join(rows[:first])

        assert f"▶{bay} " in panes and "│ ▶ " in panes.partition("Can be")[2]
        assert "Looks like chromium" in "\n".join(rows[first:]) and "Looks like" not in told(driver)
        assert told(driver).endswith("this reading is of a skin: see above what to do.")


async def test_a_problem_below_the_line_is_not_cut_in_the_middle(yard: Path) -> None:
    """What is longer than a row goes on in the next one, in place of what was understood."""
    async with console(yard) as driver:
        await driver.type("8 =18.2 8.1 71")
        picture = driver.picture()

        assert "CHECK type the elements, as cr18.2 ni8.1" in picture
        assert "metal named here does" in " ".join(picture.replace("│", " ").split())


async def test_a_chosen_bay_is_told_with_who_chose_it_and_what_the_advice_was(yard: Path) -> None:
    """In neutral words, on the line of the act and in the handover."""
    async with console(yard, person="Ilse") as driver:
        await driver.enter("12.4 304 m0 fer")

        assert "bay chosen by Ilse; advice was STN" in " ".join(driver.picture().split())
        [piece] = driver.desk.review.pieces()
        assert piece.is_override
        assert "FER, chosen by Ilse; advice was STN" in driver.desk.closing.handover_so_far()


async def test_a_code_of_a_bay_that_takes_what_the_line_says_is_no_choice_beside_the_advice(
    yard: Path,
) -> None:
    """6063 goes into the clean extrusions by advice; the bay of low-copper aluminium takes it as well."""
    async with console(yard) as driver:
        await driver.type("12.4 6063 .e")
        assert driver.app.sorting.at_hand().placement.bay.code == "AXC"  # type: ignore[union-attr]
        await driver.type(" alo")
        await driver.press("enter")

        [piece] = driver.desk.review.pieces()
        assert (piece.bay, piece.is_override) == ("ALO", False)
        assert "chosen by" not in driver.picture()


async def test_what_is_typed_behind_a_refused_line_is_a_further_word(yard: Path) -> None:
    """A weight behind a line that had none, an answer, a word; mended by hand it is as on any line."""
    async with console(yard) as driver:
        await driver.enter("304")
        assert "not taken: type on, or Esc clears the line" in driver.picture()
        await driver.type("1")
        assert driver.line == "304 1"
        assert "Esc clears the line" not in driver.picture()
        await driver.enter("2.4")
        assert driver.desk.review.pieces()[0].line == "304 12.4"

        await driver.enter("2.2 304 sheeet")
        await driver.enter("1")
        assert driver.desk.review.pieces()[0].line == "2.2 304 sheet"
        await driver.enter("2.2 31")
        await driver.press("backspace")
        await driver.type("04")
        assert driver.line == "2.2 304"
        await driver.press("escape")
        await driver.enter("640 fer")
        await driver.type(".s")
        assert driver.line == "640 fer.s"


async def test_the_line_after_a_refusal_never_grows_onto_the_one_before(yard: Path) -> None:
    """Who types on without looking, or scans, gets no figures of two lines as one; Esc begins afresh."""
    async with console(yard) as driver:
        for line in ("12.4 sheeet 304", "7.5 stn", "9 fer"):
            await driver.enter(line)
        assert driver.line == "12.4 sheeet 304 7.5 stn 9 fer"
        assert driver.desk.review.pieces() == []
        await driver.press("escape")
        await driver.enter("9 fer")
        assert driver.bays() == {"FER": (1, 9_000)}

        await driver.press("ctrl+p")
        await driver.press("ctrl+u")
        await driver.enter("fer")
        assert "Esc clears" not in driver.picture()
