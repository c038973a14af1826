"""How the screens look: what is read is not cut in a word, stands in its column, and stands out."""

import re
from pathlib import Path

import pytest
from textual.color import Color
from textual.content import Content

from console.screens.frames.text_screen import TextScreen
from console.themes import THEMES
from tests.console.panes.test_themes import contrast
from tests.driven.driving import SIZES, Driver, console
from tests.driven.states import SHIFT

PAGES = {
    "sorting": (),
    "nothing typed": ("escape",),
    "help": ("f1",),
    "handover": ("ctrl+r",),
    "grade card": ("ctrl+g",),
    "cautions": ("ctrl+o",),
    "review": ("f6",),
    "close-out": ("f8",),
    "totals": ("f8", "f2"),
    "bays": ("ctrl+f", "2", "enter"),
    "refusal": ("enter",),
    "nothing found": ("f6", "slash", "q", "q"),
    "marked": ("f6", "space", "space"),
    "shots": ("ctrl+f", "1", "enter"),
    "lots": ("ctrl+f", "3", "enter", "y"),
    "checks": ("ctrl+f", "4", "enter"),
    "tour": ("escape", "f10"),
}
TEXT_PAGES = ("help", "handover", "grade card", "cautions", "totals")
LEAST_CONTRAST = {"night": 4.5, "day": 4.5, "high-contrast": 7.0}
"""For text (W3C, WCAG 2.1, success criteria 1.4.3 and 1.4.6)."""


async def begin(driver: Driver, *keys: str) -> None:
    """Tally a few pieces, type another, and press keys."""
    for line in SHIFT:
        driver.app.sorting.entering.enter(line)
    await driver.type("3.1 becu spring cr18.3 ni6.1")
    await driver.press(*keys)
    await driver.threads_done()


def faint(driver: Driver, least: float) -> set[str]:
    """Return the words on the screen that stand out from their ground by less than that."""
    found = set()
    for row in driver.app.screen._compositor.render_strips():
        for segment in row:
            style = segment.style
            if style is None or style.color is None or style.bgcolor is None:
                continue
            if not any(character.isalnum() for character in segment.text):
                continue
            ink, ground = (Color.from_rich_color(one).hex for one in (style.color, style.bgcolor))
            if contrast(ink, ground) < least:
                found.add(f"{segment.text.strip()}: {ink} on {ground}")
    return found


@pytest.mark.parametrize("name", PAGES)
async def test_every_word_stands_out_in_every_colour(yard: Path, name: str) -> None:
    """4.5:1 by night and day, 7:1 in high contrast, of what is painted, borders' words too."""
    async with console(yard, size=(110, 30)) as driver:
        await begin(driver, *PAGES[name])
        for theme in THEMES:
            driver.app.theme = theme.name
            await driver.at_rest()
            assert faint(driver, LEAST_CONTRAST[theme.name]) == set(), theme.name


@pytest.mark.parametrize("name", TEXT_PAGES)
async def test_a_page_to_read_has_its_margins_and_no_torn_line(yard: Path, name: str) -> None:
    """A blank column on either side at 80; what was set in 78 columns is not wrapped once more."""
    async with console(yard) as driver:
        await begin(driver, *PAGES[name])
        rows = driver.picture().split("\n")[1:-1]

        assert {row[0] + row[-1] for row in rows} == {"  "}
        assert not any(re.fullmatch(r" *[-=]{1,5} *", row) for row in rows)


@pytest.mark.parametrize("name", ["help", "handover", "grade card", "bays"])
async def test_a_page_says_that_more_of_it_lies_below(yard: Path, name: str) -> None:
    """At 80x24 until its last row is in sight; where all of it is, nothing is said."""
    async with console(yard) as driver:
        await begin(driver, *PAGES[name])
        first = driver.picture().split("\n")[0]
        assert first.endswith("  more below: PgDn ") and len(first) == 80

        page = driver.app.screen.query_one("#page")
        page.scroll_end(animate=False, immediate=True)
        await driver.at_rest()
        assert "more below" not in driver.picture()
        page.scroll_relative(y=-1, animate=False)
        await driver.at_rest()
        assert "more below: PgDn" in driver.picture()


@pytest.mark.parametrize(("rows", "has_more"), [(22, False), (23, True)])
async def test_blank_rows_at_the_end_are_no_more_of_a_page(yard: Path, rows: int, has_more: bool) -> None:
    """A text that ends with an empty row, as a file does, fills a page of just its rows."""
    async with console(yard) as driver:
        driver.app.push_screen(TextScreen("Page", Content("row\n" * rows + "\n")))
        await driver.at_rest()

        assert ("more below" in driver.picture()) is has_more


async def test_a_page_that_is_whole_says_nothing_of_more(yard: Path) -> None:
    """The bays at 160x45, when they were cut off just before, too."""
    async with console(yard) as driver:
        await begin(driver, *PAGES["bays"])
        await driver.pilot.resize_terminal(160, 45)
        await driver.at_rest()

        assert "Bays: what lies in them now" in driver.picture() and "more below" not in driver.picture()


@pytest.mark.parametrize("size", [SIZES[0], SIZES[2]])
async def test_the_bays_page_stands_in_columns(yard: Path, size: tuple[int, int]) -> None:
    """A bay without a bale has its capacity below the others'; figures stand beside the name."""
    async with console(yard, size=size) as driver:
        await begin(driver, *PAGES["bays"])
        rows = {row.split()[0]: row for row in driver.picture().split("\n") if row.strip()}

        assert rows["MGX"].rstrip().endswith("500.00 kg")
        assert rows["AXC"].index("12.40 kg") < 45
        assert len(rows["MGX"].rstrip()) == len(rows["AXC"].rstrip()) == len(rows["ABZ"].rstrip())


@pytest.mark.parametrize("size", SIZES)
async def test_a_bay_is_named_in_whole_words(yard: Path, size: tuple[int, int]) -> None:
    """What there is no room for is left off behind a word; from 110 columns on every name is whole."""
    async with console(yard, size=size) as driver:
        await begin(driver, "escape")
        words = {word for bay in driver.desk.yard.bays for word in re.findall(r"\w+", bay.name)}
        rows = [row.rstrip("│").rpartition("│")[2] for row in driver.picture().split("\n")]
        rows = [row for row in rows if re.match(r"\W{1,2}[A-Z]{3} ", row)]
        cut = [word for row in rows for word in re.findall(r"(\w+)…", row)]
        assert rows and set(cut) <= words
        assert not cut or size[0] < 110


async def test_the_key_line_is_the_last_row_where_a_line_is_typed_on_a_page(yard: Path) -> None:
    """On the page of what was left, too: the line stands above the keys."""
    async with console(yard) as driver:
        await begin(driver, "escape", "ctrl+t")
        await driver.enter("Marit")
        *_, line, keys = driver.picture().split("\n")

        assert "seen, or a piece" in line and "help F1" in keys


async def test_a_row_that_is_too_long_for_a_list_is_read_at_its_foot(yard: Path) -> None:
    """At 80 the selected action stands whole below the list; one that has room is said once."""
    for size, is_cut in (((80, 24), True), ((160, 45), False)):
        async with console(yard, size=size) as driver:
            await driver.press("f9")
            assert driver.picture().count("Complete: finish the word: grade, bay or fact") == 1
            await driver.press("down")
            shown = driver.picture()
            assert shown.count("Bay: tally into a bay of your choice") == 1
            await driver.type("Tare")
            foot = driver.app.screen.query_one("#in-full")
            seen = driver.picture().split("\n")[foot.region.y : foot.region.bottom] if foot.display else [""]
            said = " ".join(" ".join(row[foot.region.x : foot.region.right] for row in seen).split())
            end = "take it off each weight from here on; on an empty line: end"
            assert end in said if is_cut else end in driver.picture()


async def test_a_list_of_bays_is_as_wide_as_its_longest_row_needs(yard: Path) -> None:
    """Bays with and without a number key: no name and no reason is cut while the screen has room."""
    async with console(yard, size=(110, 30)) as driver:
        await driver.type("4 ni25 cr65 cu6 zn2 // cu64 zn18 ni16 // cu70 zn26 ni2")
        await driver.press("f2")
        box = driver.app.screen.query_one("#pick-box").region
        rows = [row[box.x : box.right] for row in driver.picture().split("\n")[box.y : box.bottom]]

        assert any("not taken:" in row for row in rows)
        assert not any("…" in row for row in rows)


async def test_a_long_name_is_read_whole_below_the_review(yard: Path) -> None:
    """What is kept of the selected piece takes a further row while one is free."""
    async with console(yard) as driver:
        await begin(driver, "f6")

        assert "Lead 99.97 or Lead 99.94, Chemical lead" in " ".join(driver.picture().split())


async def test_a_large_screen_lists_a_name_with_its_twins_and_the_whole_line(yard: Path) -> None:
    """At 160 columns the row of the review says what the rows below it say; nothing in it is cut."""
    async with console(yard, size=(160, 45)) as driver:
        await begin(driver, "f6")
        rows = driver.picture().split("\n")

        assert "Lead 99.97 or Lead 99.94, Chemical lead" in rows[2] and "8.6 lead sheet h5" in rows[2]
        assert not any("…" in row for row in rows[2:14])


async def test_plain_letters_keep_what_a_limit_means(yard: Path) -> None:
    """In ASCII "at most" is two signs, on the card and beside the strips."""
    file = yard / "yard.toml"
    file.write_text(f"{file.read_text(encoding='utf-8')}\n[console]\nascii = true\n", encoding="utf-8")
    async with console(yard, size=(110, 30)) as driver:
        await driver.type("8.05 304 cr18.2 ni8.1 fe71.4")
        strips = driver.picture()
        await driver.press("ctrl+g")
        card = driver.picture()

        assert strips.isascii() and card.isascii()
        assert re.search(r"not read Mn .* <=2 ", strips)
        assert re.search(r"Mn +<=2 ", card)


async def test_a_load_and_its_difference_stand_side_by_side(yard: Path) -> None:
    """On a large screen too: the eye need not cross it."""
    async with console(yard, size=(160, 45)) as driver:
        await driver.enter("100 304")
        await driver.press("f8")
        await driver.enter("205 100 from Mill load 7")
        await driver.enter("50 20 from Dock")
        [row] = [row for row in driver.picture().split("\n") if row.startswith("│ Mill 7")]

        assert row.index("OUTSIDE") < 65
