"""What a yard sets for its screen, correcting, the tour, no yard, and a fault of the program."""

from pathlib import Path

import pytest

from console.desk import Desk
from console.desk.readings.watching import FolderWatch
from console.desk.shifts.practice_pieces import PIECES
from console.screens.sorting.tour import STEPS
from tests.driven.driving import console


def with_settings(yard: Path, text: str) -> Path:
    """Add a [console] table to a yard's file."""
    file = yard / "yard.toml"
    file.write_text(f"{file.read_text(encoding='utf-8')}\n[console]\n{text}\n", encoding="utf-8")
    return yard


async def test_a_remapped_key_works_and_is_shown(yard: Path) -> None:
    """The new key acts, the old one does not, and key line and help name the new one."""
    async with console(with_settings(yard, 'keys = { undo = "f11" }')) as driver:
        await driver.enter("12.4 304")
        assert "undo F11" in driver.picture()
        await driver.press("f4")
        assert len(driver.bays()) == 1

        await driver.press("f11")

        assert driver.bays() == {}


@pytest.mark.parametrize(
    ("keys", "wanted"),
    [
        ('{ undoo = "f12" }', 'did you mean "undo"?'),
        ('{ undo = "f6" }', "F6 would mean both"),
        ('{ undo = "ctrl+u" }', "needed for typing"),
    ],
)
async def test_keys_that_cannot_be_are_refused(yard: Path, keys: str, wanted: str) -> None:
    """The console ends with status 1 and says which key and why."""
    async with console(with_settings(yard, f"keys = {keys}"), can_fail=True) as driver:
        app = driver.app

    assert app.return_code == 1
    assert wanted in app.failure


async def test_theme_ascii_and_bell_of_the_yard(yard: Path) -> None:
    """Colours, plain marks and a flash in the place of the bell are taken from yard.toml."""
    settings = 'theme = "day"\nascii = true\nbell = "flash"'
    async with console(with_settings(yard, settings)) as driver:
        assert driver.app.theme == "day"
        assert driver.app.flashes
        assert driver.picture().isascii()


async def test_colours_can_be_chosen_while_working(yard: Path) -> None:
    """The list of colours is an action; what is picked holds at once."""
    async with console(yard) as driver:
        await driver.press("f12")
        await driver.enter("high")

        assert driver.app.theme == "high-contrast"


async def test_ctrl_p_corrects_the_last_piece(yard: Path) -> None:
    """Its line comes back; Enter puts the changed one in its place, and one undo brings the old one back."""
    async with console(yard) as driver:
        await driver.enter("12.4 304")
        await driver.press("ctrl+p")
        assert driver.line == "12.4 304"
        assert "Correcting the last piece" in driver.picture()
        await driver.press("home", "delete", "2", "enter")

        [(pieces, grams)] = driver.bays().values()
        assert (pieces, grams) == (1, 22_400)
        assert "Correcting" not in driver.picture()
        await driver.press("f4")
        assert [*driver.bays().values()] == [(1, 12_400)]


async def test_escape_leaves_a_correction(yard: Path) -> None:
    """Nothing changes, and the next line is a new piece again."""
    async with console(yard) as driver:
        await driver.press("ctrl+p")
        assert "Tally a piece first: there is none in this run yet" in driver.picture()
        await driver.enter("12.4 304")
        await driver.press("ctrl+p", "escape")
        assert driver.line == ""
        await driver.enter("2 304")

        assert [*driver.bays().values()] == [(2, 14_400)]


async def test_the_tour_follows_what_is_typed(yard: Path) -> None:
    """Each step is passed by doing it, the practice pieces follow, and at the end the tour says so."""
    async with console(yard) as driver:
        await driver.press("f10")
        assert f"1 of {len(STEPS)}" in driver.picture()
        await driver.enter("12.4 304")
        assert f"3 of {len(STEPS)}" in driver.picture() and "skips)" in driver.picture()
        await driver.enter("7.5")
        assert f"4 of {len(STEPS)}" in driver.picture()
        await driver.type("8.05 cr17.1 ni10.4 mo2.1 m0")
        await driver.press("down", "enter", "f4")
        await driver.enter("2 ?")
        assert f"9 of {len(STEPS)}" in driver.picture()
        await driver.press("f1", "escape")

        assert "PRACTICE  1 of" in driver.picture()
        await driver.press(*["f10"] * len(PIECES), "escape")
        assert "TOUR" not in driver.picture()
        assert "The tour is over" in driver.picture()


async def test_the_tour_can_be_left_at_any_time(yard: Path) -> None:
    """Esc ends it; the line at hand stays."""
    async with console(yard) as driver:
        await driver.press("f10")
        await driver.type("12")
        await driver.press("escape")

        assert "TOUR" not in driver.picture()
        assert driver.line == "12"


async def test_without_a_yard_the_demo_is_offered(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """1 opens a copy of the demo yard in the person's own folder, with the tour; nothing lands here."""
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    empty = tmp_path / "empty"
    empty.mkdir()
    async with console(empty, waits=False) as driver:
        assert "No yard here yet" in driver.picture()
        await driver.enter("1")
        await driver.opened()

        assert (tmp_path / "data" / "baywright" / "demo_yard" / "yard.sqlite3").is_file()
        assert "TOUR" in driver.picture()
    assert list(empty.iterdir()) == []


async def test_without_a_yard_a_new_one_can_be_made(tmp_path: Path) -> None:
    """2 ends the full screen with the wish for the questions."""
    async with console(tmp_path, waits=False) as driver:
        await driver.enter("2")
        app = driver.app

    assert app.wants_new_yard and app.return_code == 0


async def test_a_fault_leaves_a_report_without_personal_data(
    yard: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Exit status 70; the file names kind and place of the fault, and neither line, person nor folder."""

    def fault(self: Desk) -> None:
        raise ZeroDivisionError("12.4 304 secret of Ilse")

    monkeypatch.setattr(Desk, "undo", fault)
    with pytest.raises(ZeroDivisionError):
        async with console(yard) as driver:
            app = driver.app
            await driver.enter("12.4 304 ; secret")
            await driver.press("f4")

    assert app.return_code == 70
    [file] = yard.glob("fault-*.txt")
    assert str(file) in app.fault_told
    text = file.read_text(encoding="utf-8")
    for wanted in ("ZeroDivisionError", "console/screens/", "textual", "80 x 24"):
        assert wanted in text
    for private in ("secret", "Ilse", "12.4", str(yard), "Marlstone"):
        assert private not in text


async def test_a_fault_in_the_thread_that_looks_for_readings_is_told_too(
    yard: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Readings would silently come no more; it ends as every fault does, with a report."""

    def fault(self: FolderWatch) -> None:
        raise ZeroDivisionError("a look")

    monkeypatch.setattr(FolderWatch, "look", fault)
    (yard / "readings").mkdir(exist_ok=True)
    with pytest.raises(ZeroDivisionError):
        async with console(yard) as driver:
            app = driver.app
            for _ in range(100):
                await driver.pilot.pause(0.02)

    assert app.return_code == 70
    [file] = yard.glob("fault-*.txt")
    assert "ZeroDivisionError" in file.read_text(encoding="utf-8")


async def test_the_next_check_comes_once_the_keys_rest(yard: Path) -> None:
    """The advice appears by itself, belongs to the piece at hand, and goes when the piece changes."""
    async with console(yard) as driver:
        await driver.type("2 h2 .c")
        for _ in range(200):
            if "next: " in driver.picture():
                break
            await driver.pilot.pause(0.02)
        assert "next: " in driver.picture()
        assert driver.app.sorting.advice._timer is not None

        await driver.press("ctrl+u")
        assert "next: " not in driver.picture()


async def test_a_yard_can_leave_the_next_check_out(yard: Path) -> None:
    """show_next_check = false asks for none."""
    async with console(with_settings(yard, "show_next_check = false")) as driver:
        await driver.type("2 h2 .c")

        assert driver.app.sorting.advice._timer is None
        assert "next: " not in driver.picture()


@pytest.mark.parametrize(("is_shown", "count"), [("true", 3), ("false", 0)])
async def test_money_stays_off_the_screen_where_the_yard_hides_it(
    yard: Path, is_shown: str, count: int
) -> None:
    """The worth of a piece, what a check gains, and the bays to choose from: all show money, or none does."""
    file = yard / "yard.toml"
    text = file.read_text(encoding="utf-8")
    file.write_text(text.replace("show_money = true", f"show_money = {is_shown}"), encoding="utf-8")
    async with console(yard, size=(160, 45)) as driver:
        await driver.type("8 304 ")
        await driver.threads_done()
        worth = driver.picture()
        await driver.press("f2")
        choice = driver.picture()
        await driver.press("escape", "ctrl+u")
        await driver.type("20 yellow")
        await driver.pilot.pause(0.3)
        await driver.threads_done()
        check = driver.picture()

    assert "next: " in check
    assert sum("EUR" in picture for picture in (worth, choice, check)) == count
    assert ("worth" in worth, "gains" in check) == (count > 0, count > 0)
