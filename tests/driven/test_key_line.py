"""The key line: what can be done with its key, whole at 80 columns on every screen."""

from pathlib import Path

import pytest

from console.panes.key_line import KeyLine
from tests.driven.driving import console


@pytest.mark.parametrize(
    ("keys", "words"),
    [
        ((), ("bay F2", "again F3", "help F1", "quit Ctrl Q")),
        (("f6",), ("void:v", "filter:/", "back:F6", "help:F1", "quit:Ctrl Q")),
        (("f8",), ("close the run F8", "holds F6", "help F1", "quit Ctrl Q")),
        (("f1",), ("page down PgDn", "back Esc", "quit Ctrl Q")),
        (("ctrl+f", "2", "enter"), ("downgrade:g", "back:Esc", "help:F1", "quit:Ctrl Q")),
        (("ctrl+f", "3", "enter"), ("take back:b", "back:Esc", "help:F1", "quit:Ctrl Q")),
        (("ctrl+f", "4", "enter"), ("new shot n", "help F1", "quit Ctrl Q")),
    ],
)
async def test_every_key_of_the_line_stands_in_it_whole(
    yard: Path, keys: tuple[str, ...], words: tuple[str, ...]
) -> None:
    """The last row of the screen has each word and key that the line was given, and none is cut."""
    async with console(yard) as driver:
        await driver.press(*keys)

        line = driver.app.screen.query_one(KeyLine)
        shown = driver.picture().split("\n")[-1]
        given = [f"{word.lower()}{sign}{key}" for key, word in line.keys for sign in " :"]
        assert sum(one in shown for one in given) == len(line.keys), shown
        assert [word for word in words if word not in shown] == [], shown


async def test_no_key_is_written_with_a_caret_or_a_plus(yard: Path) -> None:
    """Ctrl and the letter, in the line, on the help page and in the list of actions."""
    async with console(yard, size=(110, 45)) as driver:
        seen = driver.picture()
        await driver.press("f1")
        seen += str(driver.app.screen.query_one("#text").render())
        await driver.press("escape", "f9")
        seen += driver.picture()

        assert "Ctrl Q" in seen
        assert "Ctrl+" not in seen and "^Q" not in seen
