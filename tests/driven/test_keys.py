"""Keys that arrive, that can be remapped, and that every text names as they are bound."""

from pathlib import Path

import pytest
from textual.binding import Binding
from textual.widgets import Static

from console.app import ConsoleApp
from console.screens.keys.printed import printed
from console.screens.keys.tables import KEY_TABLES
from console.yard.file.console_settings import SWALLOWED
from tests.driven.driving import console
from tests.driven.pty_session import PtySession
from tests.driven.test_settings_and_modes import with_settings

MAY_BE_TAKEN = {
    **SWALLOWED,
    "f1": "desktop terminals show their own help",
    "f10": "desktop terminals open their menu",
    "f11": "desktop terminals fill the screen",
    "f12": "desktop terminals drop down, browsers open their tools",
    "ctrl+b": "a terminal multiplexer begins its own commands with it",
    "ctrl+n": "browsers open a window",
    "ctrl+w": "browsers close the page",
}
"""Key -> who may keep it for himself; memory, from common terminals, multiplexers and browsers."""
DISPENSABLE = {"help", "colours", "tour", "ground-shot"}
"""May have no other key: the list of actions, F9, has them too, and // on the line begins a ground shot."""


def all_bindings() -> list[tuple[str, Binding]]:
    """Return every binding that does something, with the screen it belongs to."""
    tables = [(table.screen, table.bindings) for table in KEY_TABLES]
    tables.append(("every screen", tuple(ConsoleApp.BINDINGS)))
    return [
        (screen, binding)
        for screen, bindings in tables
        for binding in bindings
        if isinstance(binding, Binding) and binding.tooltip
    ]


def test_nothing_that_counts_has_only_a_key_that_may_be_taken() -> None:
    """Every action but those that can be spared has a key that arrives everywhere."""
    lost = {
        binding.id
        for _, binding in all_bindings()
        if all(key in MAY_BE_TAKEN for key in binding.key.split(","))
    }

    assert lost <= DISPENSABLE


async def test_the_list_of_actions_holds_what_a_taken_key_would_cost(yard: Path) -> None:
    """Help, colours, the tour and the further screens can all be picked by a word."""
    async with console(yard, size=(110, 45)) as driver:
        for word, wanted in (
            ("words of the entry", "Help: keys and words"),
            ("high contrast", "Which colours?"),
            ("draw-down", "Bays: what lies in them"),
            ("said to be all one", "Uniform lots"),
        ):
            await driver.press("f9")
            await driver.enter(word)
            await driver.pilot.pause()
            assert wanted in driver.picture(), driver.picture()
            await driver.press("escape")
            assert driver.app.screen is driver.app.sorting


async def test_help_lists_every_key_of_every_screen(yard: Path) -> None:
    """Those of the further screens, of lists and of pages too, each with its key."""
    async with console(yard) as driver:
        await driver.press("f1")
        text = " ".join(str(driver.app.screen.query_one("#text", Static).render()).split())

    for screen, binding in all_bindings():
        assert f"{printed(binding.key)} {binding.description} {binding.tooltip}" in text, (screen, binding)


@pytest.mark.parametrize(
    ("action", "key"),
    [
        ("other-bay", "ctrl+b"),
        ("more", "f11"),
        ("cautions", "f11"),
        ("grade-card", "ctrl+b"),
        ("note", "f11"),
    ],
)
async def test_the_key_that_opened_a_list_closes_it_also_when_remapped(
    yard: Path, action: str, key: str
) -> None:
    """A yard's own key opens the list or page, and once more leads back."""
    async with console(with_settings(yard, f'keys = {{ {action} = "{key}" }}')) as driver:
        await driver.press(key)
        assert driver.app.screen is not driver.app.sorting
        await driver.press(key)

        assert driver.app.screen is driver.app.sorting


async def test_texts_name_the_keys_as_the_yard_has_them(yard: Path) -> None:
    """Refusals, the tour and the cautions speak of the remapped keys."""
    keys = 'help = "f11", cautions = "ctrl+b", undo = "insert", next-reading = "f4"'
    async with console(with_settings(yard, f"keys = {{ {keys} }}")) as driver:
        await driver.press("enter")
        assert "Help: F11" in driver.picture()
        await driver.press("f10", "escape")
        assert "F10 begins it anew" in driver.picture()
        assert driver.app.sorting.key_names["undo"] == "Ins"
        assert driver.app.sorting.query_one("#warnings").key == "Ctrl B"


async def test_one_key_steps_from_a_shot_to_a_ground_shot_and_back(yard: Path) -> None:
    """One plain key for both: the mark at the end of the line changes, none is added."""
    async with console(yard) as driver:
        await driver.type("1.2 cr65")
        seen = []
        for _ in range(3):
            await driver.press("ctrl+y")
            seen.append(driver.line)
        await driver.press("ctrl+n")

        assert seen == ["1.2 cr65 / ", "1.2 cr65 // ", "1.2 cr65 / "]
        assert driver.line == "1.2 cr65 // "


def test_the_keys_for_shots_and_further_screens_arrive_through_a_real_terminal(yard: Path) -> None:
    """What a terminal sends for Ctrl Y, Ctrl N and Ctrl F does what it should."""
    session = PtySession(["-m", "console.cli", "--yard", str(yard)])
    try:
        session.wait_for("since")
        session.send("1.2 cr65")
        session.send(b"\x19")
        session.wait_for("cr65 /")
        session.send("ni16")
        session.send(b"\x0e")
        session.wait_for("ni16 //")
        session.send(b"\x06")
        session.wait_for("Further screens and acts")
    finally:
        session.close()
