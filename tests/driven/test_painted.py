"""What is kept painted is what would be painted now: after every key, in every size and colour."""

import random
from pathlib import Path

import pytest

from console.drawing.painted import Painted
from console.themes import THEMES
from tests.driven.driving import SIZES, Driver, console

LINES = (
    "3.1 yellow brass cu61.2 zn35.8 pb2.9",
    "8 m3 zn99",
    "2 gas bottle",
    "12 304 cr18 ni8 / cr18.1 ni8.2",
    "4 ?",
)
OTHER_KEYS = ("enter", "f4", "down", "up", "ctrl+u", "ctrl+w", "tab", "backspace", "f1", "escape")
"""Among them undo, another screen and back."""


def stale(driver: Driver) -> list[str]:
    """Return the widgets of which something else is kept than they would paint now."""
    found = []
    for widget in driver.app.screen.walk_children(Painted, with_self=True):
        if widget._painted is None:
            continue
        crop, kept = widget._painted
        widget._painted = None
        widget._styles_cache.clear()
        if widget.render_lines(crop) != kept:
            found.append(str(widget))
    return found


@pytest.mark.parametrize("size", SIZES)
async def test_nothing_stale_stays_on_the_screen(yard: Path, size: tuple[int, int]) -> None:
    """A shift with pieces, cautions, skins, undo, other colours and another size of the terminal."""
    chance = random.Random(size[0])
    async with console(yard, size=size) as driver:
        for step in range(3):
            line = chance.choice(LINES)
            for character in line[: chance.randint(1, len(line))]:
                await driver.type(character)
                assert stale(driver) == []
            for key in (*chance.sample(OTHER_KEYS, 3), "escape"):
                await driver.press(key)
                assert stale(driver) == [], key
            driver.app.theme = chance.choice(THEMES).name
            await driver.at_rest()
            assert stale(driver) == []
            if step == 1:
                await driver.pilot.resize_terminal(*chance.choice(SIZES))
                await driver.at_rest()
                assert stale(driver) == []


async def test_a_yard_in_ascii_repaints_what_was_painted_before_it_was_read(yard: Path) -> None:
    """The first picture comes before yard.toml is read; no mark of it stays."""
    (yard / "yard.toml").write_text(
        (yard / "yard.toml").read_text(encoding="utf-8") + "\n[console]\nascii = true\n", encoding="utf-8"
    )
    async with console(yard) as driver:
        driver.app.refresh()
        await driver.at_rest()
        for widget in driver.app.screen.walk_children(Painted, with_self=True):
            for strip in widget.render_lines(widget.size.region):
                assert strip.text.isascii(), widget
