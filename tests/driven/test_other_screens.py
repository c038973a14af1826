"""Review, close-out, handover, help: key by key."""

from pathlib import Path

import pytest

from tests.driven.driving import SIZES, console


async def test_review_lists_newest_first_and_voids_with_a_reason(yard: Path) -> None:
    """v and a reason void the selected piece by a new row; it stays in the list, marked."""
    async with console(yard) as driver:
        await driver.enter("12.4 304")
        await driver.enter("3.1 yellow brass")
        await driver.press("f6")
        rows = driver.picture().splitlines()
        assert "3.1 yellow brass"[:10] in rows[2] and "12.4 304" in rows[3]

        await driver.press("v")
        await driver.press("enter")

        newest, older = driver.desk.review.pieces()
        assert newest.is_void and not older.is_void
        assert "VOID" in driver.picture()
        await driver.press("f6")
        assert "1 piece  12.40 kg" in driver.picture()


async def test_review_moves_a_piece_and_undo_takes_it_back(yard: Path) -> None:
    """m, a bay, a reason: the piece lies in the other bay; F4 on the same screen takes it back."""
    async with console(yard) as driver:
        await driver.enter("12.4 304")
        [bay] = driver.bays()
        other = next(b.code for b in driver.desk.yard.bays if b.code != bay and not b.is_hold)
        await driver.press("f6", "m")
        await driver.enter(other)
        await driver.press("enter")
        assert driver.desk.review.pieces()[0].bay == other

        await driver.press("f4")
        assert driver.desk.review.pieces()[0].bay == bay


async def test_review_of_an_empty_run_says_what_to_do(yard: Path) -> None:
    """No piece yet: a sentence instead of an empty list, and no key fails."""
    async with console(yard) as driver:
        await driver.press("f6", "v", "m", "down", "end", "home", "pagedown")
        assert "No piece is tallied yet" in driver.picture()


async def test_review_scrolls_to_the_oldest(yard: Path) -> None:
    """End shows the oldest piece of a run longer than the screen, Home the newest again."""
    async with console(yard) as driver:
        for number in range(1, 31):
            driver.app.sorting.entering.enter(f"{number} 304")
        await driver.press("f6", "end")
        assert "▶" in driver.picture() and "1 304" in driver.picture()
        assert "30 304" not in driver.picture()
        await driver.press("home")
        assert "30 304" in driver.picture()


async def test_close_out_with_tickets_inside_the_tolerance(yard: Path) -> None:
    """Ticket in, difference shown, F8: run closed, handover in the folder, and a new run begins."""
    async with console(yard) as driver:
        await driver.enter("12.4 304")
        run_id = driver.desk.run().run_id
        await driver.press("f8")
        await driver.enter("112.4 100 blue truck")
        assert "difference" in driver.picture() and "inside" in driver.picture()

        await driver.press("f8", "enter")
        assert "HANDOVER" in driver.picture()
        [file] = yard.glob("handover-*.txt")
        assert "12.40 kg" in file.read_text(encoding="utf-8")

        await driver.press("escape")
        assert "who works it?" in driver.picture()
        await driver.enter("Jory")
        await driver.opened()
        assert driver.desk.run().run_id != run_id and driver.desk.person == "Jory"
        await driver.enter("seen")
        assert "0 pieces" in driver.picture()


async def test_close_out_wants_words_for_a_difference(yard: Path) -> None:
    """A difference outside the tolerance asks for an explanation, and closes once it has one."""
    async with console(yard) as driver:
        await driver.enter("12.4 304")
        await driver.press("f8")
        await driver.enter("600 100")
        assert "OUTSIDE" in driver.picture()
        await driver.press("f8", "enter")
        assert driver.desk.run().is_closed is False
        await driver.enter("half the load went back to the truck")
        await driver.press("enter")

        [file] = yard.glob("handover-*.txt")
        assert "half the load went back" in file.read_text(encoding="utf-8")


@pytest.mark.parametrize("line", ["", "1240", "gross tare", "100 1240", "-5 3"])
async def test_a_ticket_that_is_none_is_refused_in_words(yard: Path, line: str) -> None:
    """Nothing is added; the sentence says what a ticket looks like or what is wrong with it."""
    async with console(yard) as driver:
        await driver.press("f8")
        await driver.enter(line)

        assert "NOT DONE" in driver.picture()
        assert driver.desk.sums().tickets == ()


async def test_undo_takes_a_ticket_back(yard: Path) -> None:
    """F4 at close-out takes the last ticket back."""
    async with console(yard) as driver:
        await driver.press("f8")
        await driver.enter("600 100")
        await driver.press("f4")

        assert driver.desk.sums().tickets == ()


@pytest.mark.parametrize("size", SIZES)
async def test_help_names_every_key_and_every_short_word(yard: Path, size: tuple[int, int]) -> None:
    """Help is written from the tables that the keys and the parser use."""
    from textual.binding import Binding
    from textual.widgets import Static

    from console.entry.vocabulary import VOCABULARY
    from console.screens.keys.sorting import SORTING_KEYS

    async with console(yard, size=size) as driver:
        await driver.press("f1")
        text = " ".join(str(driver.app.screen.query_one("#text", Static).render()).split())
        await driver.press("f1")
        assert driver.app.screen is driver.app.sorting

    for binding in SORTING_KEYS:
        assert isinstance(binding, Binding)
        assert binding.tooltip in text
    for row in VOCABULARY:
        assert " ".join(row.meaning.split()) in text


@pytest.mark.parametrize("size", SIZES)
async def test_every_screen_opens_and_closes_at_every_size(yard: Path, size: tuple[int, int]) -> None:
    """Each key opens its screen whole, and Esc leads back to sorting."""
    async with console(yard, size=size) as driver:
        await driver.enter("12.4 304")
        for key in ("f1", "f2", "f6", "f7", "f8", "f9", "ctrl+g", "ctrl+o", "ctrl+r", "ctrl+t"):
            await driver.press(key)
            assert driver.app.screen is not driver.app.sorting, key
            assert all(len(row) == size[0] for row in driver.picture().splitlines()), key
            await driver.press("escape")
            assert driver.app.screen is driver.app.sorting, key


async def test_a_broken_yard_ends_the_console_with_its_message(tmp_path: Path) -> None:
    """A yard.toml that is none: the console ends with status 1 and says what is wrong where."""
    (tmp_path / "yard.toml").write_text("name = ", encoding="utf-8")
    async with console(tmp_path, can_fail=True) as driver:
        app = driver.app

    assert app.return_code == 1
    assert "yard.toml" in app.failure


async def test_an_unknown_person_ends_the_console_with_the_names_there_are(yard: Path) -> None:
    """A name that is not in yard.toml: status 1, and the message lists the people."""
    async with console(yard, person="Nobody", can_fail=True) as driver:
        app = driver.app

    assert app.return_code == 1
    assert "Nobody" in app.failure and "People there:" in app.failure


async def test_a_disk_that_is_nearly_full_is_told_at_the_start(
    yard: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Before a piece cannot be written any more, with the room that is left."""
    monkeypatch.setattr("console.ledger.keeping.space.ENOUGH_BYTES", 10**18)
    async with console(yard, size=(110, 30)) as driver:
        assert "MB are free on the disk" in driver.picture()


@pytest.mark.parametrize(
    ("keys", "heading"),
    [((), "Keys while sorting"), (("f6",), "Keys in the review"), (("f8",), "Keys at close-out")],
)
async def test_help_begins_with_the_keys_of_the_screen_at_hand(
    yard: Path, keys: tuple[str, ...], heading: str
) -> None:
    """F1 shows first what was asked; all other keys follow."""
    async with console(yard) as driver:
        await driver.press(*keys, "f1")

        first = next(row for row in driver.picture().splitlines()[1:] if row.strip())
        assert first.strip() == heading
