"""The handover says the same on the screen, as text, as a page, in the file of a close-out and by command."""

import re
from collections.abc import Callable
from datetime import UTC, datetime
from html import unescape
from pathlib import Path

import pytest

from console.cli import main
from console.desk import Desk
from console.desk.ticket_line import TicketTyped
from console.screens.frames.text_screen import TextScreen
from tests.driven.driving import console

Capture = pytest.CaptureFixture[str]
NEAR_LIMIT = "250 6063 cu0.24 zn0.02 mg0.5 si0.4 al98.8"
SAID = (
    "AXC extrusions clean holds a full bale",
    "AXC extrusions clean Cu 0.24 ± 0.0",
    "the buyer wants <=0.25",
    "316 coupon: out of control. Cr reads 1.00 wt % high",
    "the last good shot, is in doubt",
    "Clean the window",
    "120.00 kg by Jory, bale T1-AXC-0001. to the buyer",
    "FER, chosen by Jory; advice was STN",
    "buyer asked for it",
    "T1-H1",
    "belt slips",
    "OUTSIDE",
    "moved STN -> STM: was 316 (Jory)",
)
"""Everything that the next sorter must know of `worked`, in the words of the report."""


@pytest.fixture
def worked(yard: Path, clock: Callable[[], datetime]) -> Path:
    """A yard with a run in which everything happened that a handover tells of."""
    desk = Desk.open(yard, now=clock, person="Ilse")
    for _ in range(5):
        desk.tally(desk.consider(NEAR_LIMIT), bay_code="AXC")
    desk.take_over("Jory")
    desk.tally(desk.consider("12 304 @FER ; buyer asked for it"))
    desk.tally(desk.consider("2 ? ; grey, dense"))
    moved = desk.tally(desk.consider("9 304"))
    desk.review.move(moved.row.row_id, "STM", "was 316")
    desk.checks.shoot("316", "cr16.8 ni10.2 mo2.1 fe68")
    desk.checks.shoot("316", "cr17.8 ni10.2 mo2.1 fe67")
    desk.bays.draw_down("AXC", "120", "to the buyer")
    desk.note("belt slips")
    desk.closing.add_ticket(TicketTyped(gross="3 t", tare="1 t", note="A 17"))
    desk.close()
    return yard


def shown_text(page: str) -> str:
    """Return what a reader of an HTML page sees."""
    return unescape(re.sub(r"<[^>]+>", "", page))


def missing(text: str) -> list[str]:
    """Return what a report should say and does not; commas between columns are no matter."""
    words = " ".join(text.split()).replace(",", "")
    return [said for said in SAID if said.replace(",", "") not in words]


def test_the_command_prints_all_of_it_as_text_and_page(worked: Path, capsys: Capture) -> None:
    """Without the console: every remark in 80 columns, and on the page, which has a drawn bar."""
    assert main(["handover", "--yard", str(worked)]) == 0
    text = capsys.readouterr().out
    assert main(["handover", "--html", "--yard", str(worked)]) == 0
    page = capsys.readouterr().out

    assert missing(text) == [] and missing(shown_text(page)) == []
    assert max(map(len, text.splitlines())) <= 80
    assert "<svg" in page and "<script" not in page


def test_the_command_needs_neither_kept_sums_nor_a_store_it_may_write_to(
    worked: Path, capsys: Capture
) -> None:
    """Kept sums thrown away: the same handover, and nothing is written by a command that only reads."""
    assert main(["handover", "--yard", str(worked)]) == 0
    first = capsys.readouterr().out.split("\n", 1)[1]
    (worked / "yard.sqlite3.bays.json").unlink()
    before = sorted(worked.iterdir())

    assert main(["handover", "--yard", str(worked)]) == 0

    assert capsys.readouterr().out.split("\n", 1)[1] == first
    assert sorted(worked.iterdir()) == before


async def test_the_screen_and_the_file_of_the_close_out_say_all_of_it(worked: Path) -> None:
    """Ctrl R shows it of the run so far; the file that the close-out leaves has it too."""
    async with console(worked) as driver:
        await driver.enter("seen")
        await driver.press("ctrl+r")
        shown = driver.app.screen
        assert isinstance(shown, TextScreen)
        assert missing(shown._text.plain) == []
        await driver.press("escape")
        file = driver.desk.closing.close_run("a drum was weighed twice").made

    text = file.read_text(encoding="utf-8")
    assert missing(text) == []
    assert "Explanation: a drum was weighed twice" in text


def test_a_handover_of_a_common_run_is_one_page(worked: Path, capsys: Capture) -> None:
    """With many corrections, notes and holds the text stays on a page or two: the newest, and how many."""
    desk = Desk.open(worked, now=lambda: datetime(2026, 3, 3, tzinfo=UTC))
    for number in range(60):
        row = desk.tally(desk.consider(f"{number + 1} 304 ; bent {number}")).row
        desk.review.move(row.row_id, "STM", f"reason {number}")
        desk.tally(desk.consider(f"{number + 1} ?"))
    desk.close()

    main(["handover", "--yard", str(worked)])
    text = capsys.readouterr().out

    assert "CORRECTIONS (newest 10 of 61)" in text and "reason 59" in text and "reason 40" not in text
    assert "ON HOLD (61)" in text and "T1-H1, T1-H2" in text and "T1-H61" in text
    assert len(text.splitlines()) <= 190
