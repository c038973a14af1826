"""A plated piece, key by key: warning, shots, picture, override."""

from pathlib import Path

import pytest

from console.ledger.rows.queries import kept_evidence
from console.screens.further.series_screen import SeriesScreen
from tests.driven.driving import console

SIZES = [(80, 24), (120, 35)]


@pytest.mark.parametrize("size", SIZES)
async def test_the_warning_stands_until_the_line_is_clean(yard: Path, size: tuple[int, int]) -> None:
    """It comes with the reading of a plating, says what to do, and goes with it; a clean piece has none."""
    async with console(yard, size=size) as driver:
        await driver.type("1.2 cr65 ni25 fe1")
        await driver.pilot.pause()
        assert "SKIN, NOT THE METAL" in driver.picture() and "grind" in driver.picture()

        await driver.press("ctrl+u")
        await driver.type("1.2 cr18.2 ni8.1 fe71.5 mn1.5 si0.4")
        await driver.pilot.pause()
        assert "SKIN" not in driver.picture()


@pytest.mark.parametrize("size", SIZES)
async def test_shots_are_added_by_key_and_drawn(yard: Path, size: tuple[int, int]) -> None:
    """One key a shot, another a ground shot; the picture has all three and the way to the core."""
    async with console(yard, size=size) as driver:
        await driver.type("1.2 cr65 ni25")
        await driver.press("ctrl+y")
        await driver.type("ni16 zn18 cu64")
        await driver.press("ctrl+y", "ctrl+y")
        assert driver.line == "1.2 cr65 ni25 / ni16 zn18 cu64 // "
        await driver.type("cu70 zn26 ni2")
        await driver.press("ctrl+f", "enter")

        assert isinstance(driver.app.screen, SeriesScreen)
        picture = driver.picture()
        assert "shot 1" in picture and "shot 3" in picture and "skin" in picture
        assert "70.0" in picture and "core C2" in picture
        assert ("limits of C2" in picture and "inside   Cu" in picture) == (size[1] >= 29)
        await driver.press("escape")
        assert driver.app.screen is driver.app.sorting


async def test_a_dear_bay_is_refused_and_overridden_with_a_reason(yard: Path) -> None:
    """Enter refuses; Ctrl F, despite the skin, a reason: tallied, and the ledger has the words."""
    async with console(yard) as driver:
        await driver.enter("1.2 cr65 ni25 fe1 nix")
        assert "NOT DONE  ? sends it to hold; Ctrl F, then despite" in driver.picture()
        assert driver.desk.review.pieces() == []

        await driver.press("ctrl+f")
        await driver.enter("despite")
        await driver.enter("sawn through: solid")
        [piece] = driver.desk.review.pieces()
        assert piece.bay == "NIX" and piece.is_override
        assert (
            kept_evidence(driver.desk.ledger, piece.row_id)["despite_skin"]["reason"] == "sawn through: solid"
        )
        assert driver.line == ""


async def test_the_override_does_nothing_for_a_piece_that_is_not_guarded(yard: Path) -> None:
    """A clean piece goes in by Enter, not by an override."""
    async with console(yard) as driver:
        await driver.type("1.2 cr18.2 ni8.1 fe71.5 mn1.5 si0.4")
        await driver.press("ctrl+f")
        await driver.enter("5")

        assert "nothing keeps this piece out" in driver.picture() and driver.desk.review.pieces() == []


@pytest.mark.parametrize("size", [(80, 24), (110, 30), (160, 45)])
async def test_the_advice_on_a_skin_is_told_to_its_last_word(yard: Path, size: tuple[int, int]) -> None:
    """Contradiction, caution and how deep to grind: nothing is cut off beside a caution of two rows."""
    async with console(yard, size=size) as driver:
        await driver.type("8 zn99 m2")
        considered = driver.app.sorting.considered
        assert considered is not None and considered.verdict.skin is not None
        skin = considered.verdict.skin
        assert len(skin.advice) > 150

        shown = " ".join(driver.picture().split())
        assert " ".join(skin.advice.split()) in shown
        assert "without stripping or extraction." in shown


async def test_warnings_fit_the_terminal_after_it_was_resized(yard: Path) -> None:
    """What needs three rows on a wide terminal needs five on a narrow one."""
    async with console(yard, size=(160, 45)) as driver:
        await driver.type("8 zn99 m2")
        await driver.pilot.resize_terminal(80, 24)
        await driver.at_rest()

        shown = " ".join(driver.picture().split())
        assert driver.app.sorting.considered is not None
        assert "shoot again (the coating is up to 0.1 mm)" in shown
        assert "▶FER" in shown and "A36" in shown


async def test_a_sentence_of_two_rows_below_the_warnings_hides_no_candidate(yard: Path) -> None:
    """Skin, a STOP and why Enter did nothing, on the smallest terminal: no grade may still fit."""
    async with console(yard) as driver:
        await driver.type("8 zn99 m2 gas bottle")
        assert "? none listed" in driver.picture()
        await driver.press("enter")

        assert "NOT DONE" in driver.picture()
        assert "? none listed" in driver.picture()
