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
        ("2.2 304 ? stn", "keep one of hold and bay STN"),
        ("2.2 304 m0 m2", "keep one magnet"),
        ("8 =18.2 8.1 71", "Enter again keeps it as a note. type the elements, as cr18.2 ni8.1"),
    ],
)
async def test_a_refusal_begins_with_its_way_out_and_is_whole(yard: Path, line: str, way: str) -> None:
    """The first words are what to type or press; the last word of the reason stands on the screen too."""
    async with console(yard) as driver:
        await driver.enter(line)

        whole = driver.app.sorting.panes.said.said.text
        assert told(driver) == " ".join(whole.split())
        assert whole.startswith(way)


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
