"""Same again repeats what the sorter says, never what was read; the last piece is the newest that stands."""

from pathlib import Path

import pytest

from console.ledger.rows.queries import kept_evidence
from console.reports.paperwork.office_report import OfficeScope, office_report
from tests.driven.driving import NOON, Driver, console

SHOT = "6.8 pipe cr17.0 ni10.1 mo2.05"


def stays(driver: Driver) -> list[tuple[int, int, str]]:
    """Return grams, count and bay of the pieces that stand, oldest first."""
    pieces = reversed(driver.desk.review.pieces())
    return [(one.mass_g, one.pieces, one.bay) for one in pieces if not one.is_void]


async def test_same_again_keeps_the_reading_with_the_piece_that_was_shot(yard: Path) -> None:
    """The repeated piece has name, form and bay of the one before and no shot; one counts as read."""
    async with console(yard) as driver:
        await driver.enter(SHOT)
        await driver.enter("9")
        again, shot = driver.desk.review.pieces()
        evidence = kept_evidence(driver.desk.ledger, again.row_id)
        scope = OfficeScope(run_id=driver.desk.run().run_id)
        report = office_report(driver.desk.ledger, driver.desk.yard, NOON, scope)

        assert (again.bay, again.grade_id, again.twins) == (shot.bay, shot.grade_id, shot.twins)
        assert again.line == "9 pipe ; as the piece before" and not again.note
        assert again.as_before == shot.row_id
        assert "shots" not in evidence["facts"]
        assert again.sureness == "leaning"
        assert [bool(one.readings) for one in report.pieces] == [True, False]
        assert "as the piece before" in driver.picture()


@pytest.mark.parametrize(("line", "grams", "count"), [("22 x4", 22_000, 4), ("9 x2", 9_000, 2)])
async def test_a_weight_with_a_count_is_same_again_too(yard: Path, line: str, grams: int, count: int) -> None:
    """Several pieces like the one before go where it went, by Enter and by the key."""
    async with console(yard) as driver:
        await driver.enter("12.4 304")
        bay = stays(driver)[0][2]
        await driver.type(line)
        assert "same again as 12.40 kg 304 in" in driver.picture()
        await driver.press("enter")
        await driver.type(line)
        await driver.press("f3")

        assert stays(driver)[1:] == [(grams, count, bay)] * 2


async def test_same_again_goes_into_another_bay_by_f2(yard: Path) -> None:
    """The name is repeated, the bay is the one chosen."""
    async with console(yard) as driver:
        await driver.enter("12.4 304")
        other = next(b.code for b in driver.desk.yard.bays if not b.is_hold and b.code != stays(driver)[0][2])
        await driver.type("3")
        await driver.press("f2")
        await driver.enter(other)
        newest, oldest = driver.desk.review.pieces()

        assert (newest.bay, newest.grade_id, newest.is_override) == (other, oldest.grade_id, True)


async def test_a_repeated_piece_keeps_its_name_when_its_weight_is_corrected(yard: Path) -> None:
    """Ctrl P on a piece that was only named by the one before changes the weight and nothing else."""
    async with console(yard) as driver:
        await driver.enter("6.8 cr17.0 ni10.1 mo2.05")
        await driver.enter("9")
        before = driver.desk.review.pieces()[0]
        await driver.press("ctrl+p")
        assert driver.line == "9 ; as the piece before"
        await driver.press("home", "delete", "8", "enter")
        after = driver.desk.review.pieces()[0]

        assert (after.mass_g, after.grade_id, after.bay) == (8_000, before.grade_id, before.bay)
        assert after.as_before == before.as_before


async def test_after_undo_and_redo_the_last_piece_is_the_newest_that_stands(yard: Path) -> None:
    """F4 F5 bring the newest piece back, and a bare weight, F3 and Ctrl P mean that one."""
    async with console(yard) as driver:
        await driver.enter("12.4 304")
        await driver.enter("3.1 yellow brass")
        brass = stays(driver)[1][2]
        await driver.press("f4", "f5")
        await driver.press("f3")
        assert "3.10 kg" in driver.picture() and f"in {brass}" in driver.picture()
        await driver.press("ctrl+p")
        assert driver.line == "3.1 yellow brass"
        await driver.press("escape")
        await driver.enter("2")

        assert stays(driver)[2] == (2_000, 1, brass)


async def test_a_piece_voided_in_the_review_is_the_last_piece_no_more(yard: Path) -> None:
    """After a void in the review and a restart a bare weight repeats the newest piece that stands."""
    async with console(yard) as driver:
        await driver.enter("12.4 304")
        await driver.enter("3.1 yellow brass")
        steel = stays(driver)[0][2]
        await driver.press("f6", "v")
        await driver.enter("wrong piece")
        await driver.press("escape")
        await driver.type("2")
        assert "same again as 12.40 kg 304" in driver.picture()
        await driver.press("enter")
        assert stays(driver) == [(12_400, 1, steel), (2_000, 1, steel)]
    async with console(yard) as driver:
        await driver.press("ctrl+p")
        assert "Correcting the last piece: 2.00 kg" in driver.picture()


async def test_a_correction_never_falls_on_another_piece_than_was_shown(yard: Path) -> None:
    """Undo in the middle of a correction takes the piece away; Enter is refused and the one before stands."""
    async with console(yard) as driver:
        await driver.enter("12.4 304")
        await driver.enter("3.1 yellow brass")
        await driver.press("ctrl+p", "f4", "enter")

        assert "taken back meanwhile" in driver.picture()
        assert [grams for grams, _, _ in stays(driver)] == [12_400]


async def test_a_repeated_piece_that_is_said_to_be_another_bears_no_such_note(yard: Path) -> None:
    """The console's own note goes when it is true no more; a note that somebody typed stays."""
    async with console(yard) as driver:
        await driver.enter("12.4 304")
        await driver.enter("9 x2")
        await driver.press(
            "ctrl+p", "home", *["right"] * 5, "delete", "delete", "delete", "3", "1", "6", "enter"
        )
        [new] = [one for one in driver.desk.review.pieces()[:1] if not one.is_void]
        assert (new.line, new.note, new.as_before) == ("9 x2 316", "", "")

        await driver.enter("8")
        await driver.press("ctrl+p", "end")
        await driver.enter(", bent")
        assert driver.desk.review.pieces()[0].note == "as the piece before, bent"
