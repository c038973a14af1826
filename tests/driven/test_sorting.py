"""The sorting screen, key by key."""

from pathlib import Path

import pytest

from tests.driven.driving import SIZES, console


async def test_enter_tallies_into_the_suggested_bay(yard: Path) -> None:
    """Weight, a name and Enter put one piece into the bay that the arrow shows."""
    async with console(yard) as driver:
        await driver.type("12.4 304")
        assert driver.app.sorting.considered is not None
        placement = driver.app.sorting.considered.placement
        assert placement is not None
        assert f"→  {placement.bay.code}  {placement.bay.name}" in driver.picture()

        await driver.press("enter")

        assert driver.bays() == {placement.bay.code: (1, 12_400)}
        assert driver.line == ""
        assert "done 12.40 kg" in driver.picture()


@pytest.mark.parametrize("size", SIZES)
async def test_everything_for_a_piece_stands_on_one_screen(yard: Path, size: tuple[int, int]) -> None:
    """Echo, candidates with reasons, placement, bays, sums and keys are all in sight at every size."""
    async with console(yard, size=size) as driver:
        await driver.enter("3.1 yellow brass")
        await driver.type("8.05 cr18.2 ni8.1 fe71.4 m0")
        picture = driver.picture()

    for wanted in (
        "8.05 kg  ·  Cr 18.2 %  ·  Ni 8.1 %  ·  Fe 71.4 %  ·  magnet: none",
        "▶ 304",
        "unlisted",
        "why 304",
        "settled",
        "Bays",
        "3.10",
        "1 piece  3.10 kg",
        "F1  Help",
    ):
        assert wanted in picture, picture
    assert all(len(row) == size[0] for row in picture.splitlines())


async def test_a_word_not_understood_is_marked_and_blocks_the_piece(yard: Path) -> None:
    """An unknown word is named in words, nothing is tallied, and the line stays as typed."""
    async with console(yard) as driver:
        await driver.enter("2.2 304 qqqqzz")

        assert driver.bays() == {}
        assert driver.line == "2.2 304 qqqqzz"
        assert "not understood" in driver.picture()
        assert "NOT DONE" in driver.picture()

        await driver.press(*["backspace"] * 7)
        assert "NOT DONE" not in driver.picture()
        await driver.press("enter")
        assert len(driver.bays()) == 1


async def test_enter_asks_once_and_enter_again_keeps_the_word_as_a_note(yard: Path) -> None:
    """The question stands on the screen once; the same key again tallies it with the word as note."""
    async with console(yard) as driver:
        await driver.enter("2.2 304 qqqqzz")
        assert "Enter again keeps it as a note" in " ".join(driver.picture().split())

        await driver.press("enter")

        [piece] = driver.desk.review.pieces()
        assert (piece.mass_g, piece.note) == (2_200, "qqqqzz")
        assert driver.line == ""


@pytest.mark.parametrize("line", ["2.2 qqqqzz ?", "2.2 304 qqqqzz @FER", "2.2 qqqqzz gas bottle"])
async def test_an_unknown_word_keeps_nothing_up_where_something_else_decides(yard: Path, line: str) -> None:
    """Hold, a chosen bay and a word of a hazard are taken at the first Enter, a STOP once it is read."""
    async with console(yard) as driver:
        await driver.enter(line)
        if "gas bottle" in line:
            assert driver.bays() == {}
            await driver.press("enter")

        [piece] = driver.desk.review.pieces()
        assert piece.note == "qqqqzz"


async def test_a_bay_on_the_line_goes_before_the_suggestion(yard: Path) -> None:
    """A bay typed on the line is where the piece goes, and the screen says that it is a choice."""
    async with console(yard) as driver:
        hold = driver.desk.yard.hold_bay.code
        await driver.type(f"2.2 304 {hold.lower()}")
        assert "your choice" in driver.picture()

        await driver.press("enter")

        assert driver.bays() == {hold: (1, 2_200)}


async def test_f2_tallies_into_a_bay_picked_by_its_code(yard: Path) -> None:
    """F2, a code, Enter: the piece lies in that bay."""
    async with console(yard) as driver:
        wanted = driver.desk.yard.bays[-2].code
        await driver.type("2.2 304")
        await driver.press("f2")
        await driver.enter(wanted.lower())

        assert driver.bays() == {wanted: (1, 2_200)}


async def test_f2_on_an_incomplete_line_puts_the_bay_on_it(yard: Path) -> None:
    """Without a weight nothing is tallied; the bay waits on the line."""
    async with console(yard) as driver:
        wanted = driver.desk.yard.bays[0].code
        await driver.type("304")
        await driver.press("f2")
        await driver.enter(wanted)

        assert driver.bays() == {}
        assert driver.line == f"304 {wanted} "


async def test_f2_again_and_escape_leave_everything_as_it_was(yard: Path) -> None:
    """The key that opens the list closes it; Esc does too; the line is untouched."""
    async with console(yard) as driver:
        await driver.type("2.2 304")
        for leave in ("f2", "escape"):
            await driver.press("f2", leave)
            assert driver.app.screen is driver.app.sorting
        assert driver.line == "2.2 304"
        assert driver.bays() == {}


async def test_same_again_takes_a_weight_and_enter(yard: Path) -> None:
    """A bare weight repeats the last piece; the screen says so before Enter is pressed."""
    async with console(yard) as driver:
        await driver.enter("12.4 304")
        [bay] = driver.bays()
        await driver.type("7.5")
        assert "same again" in driver.picture()

        await driver.press("enter")

        assert driver.bays() == {bay: (2, 19_900)}


async def test_f3_repeats_the_last_piece_and_asks_for_its_weight(yard: Path) -> None:
    """F3 on an empty line asks for the weight, F3 on a weight tallies; on more it says why not."""
    async with console(yard) as driver:
        await driver.press("f3")
        assert "no piece yet" in driver.picture()
        await driver.enter("12.4 304")
        await driver.press("f3")
        assert "type the weight" in driver.picture()
        await driver.type("2")
        await driver.press("f3")
        assert sum(grams for _, grams in driver.bays().values()) == 14_400

        await driver.type("2 brass")
        await driver.press("f3")
        assert "NOT DONE" in driver.picture()
        assert driver.line == "2 brass"


async def test_undo_and_redo(yard: Path) -> None:
    """F4 takes the last piece back, F5 brings it again; sums and ledger agree."""
    async with console(yard) as driver:
        await driver.enter("12.4 304")
        before = driver.bays()

        await driver.press("f4")
        assert sum(pieces for pieces, _ in driver.bays().values()) == 0
        assert "0 pieces" in driver.picture()

        await driver.press("f5")
        assert driver.bays() == before

        await driver.press("f4", "f4")
        assert "NOT DONE" in driver.picture()


async def test_a_piece_nobody_can_name_waits_with_a_tag(yard: Path) -> None:
    """A question mark puts the piece on hold; the sentence names the tag to write on it."""
    async with console(yard) as driver:
        await driver.enter("4.4 ?")

        [held] = driver.desk.sums().holds
        assert held.tag is not None
        assert f"write {held.tag} on it" in driver.picture()
        assert "1 on hold" in driver.picture()


async def test_arrows_select_a_candidate_and_show_its_reasons(yard: Path) -> None:
    """Down moves the mark and the reasons follow; PgUp moves it back."""
    async with console(yard) as driver:
        await driver.type("8.05 cr18.2 ni8.1 fe71.4")
        assert driver.app.sorting.considered is not None
        first, second = driver.app.sorting.considered.verdict.candidates[:2]

        await driver.press("down")
        assert f"why {second.grade.grade_id} " in driver.picture()

        await driver.press("pageup")
        assert f"why {first.grade.grade_id} " in driver.picture()


async def test_up_calls_back_the_lines_tallied(yard: Path) -> None:
    """On an empty line Up goes back through the lines, Down forward again to the empty line."""
    async with console(yard) as driver:
        await driver.enter("12.4 304")
        await driver.enter("3.1 yellow brass")
        seen = []
        for key in ("up", "up", "down", "down"):
            await driver.press(key)
            seen.append(driver.line)

    assert seen == ["3.1 yellow brass", "12.4 304", "3.1 yellow brass", ""]


async def test_tab_finishes_the_word_and_stays_on_the_line(yard: Path) -> None:
    """Tab offers a way to finish the word, Tab again the next one; nothing loses the focus."""
    async with console(yard) as driver:
        await driver.type("2 extr")
        await driver.press("tab")
        first = driver.line
        assert first.startswith("2 extru") and first.endswith(" ")

        await driver.press("tab")
        assert driver.line.startswith("2 extr")
        assert driver.app.focused is driver.app.sorting.line


@pytest.mark.parametrize(
    ("typed", "finished"),
    [
        ("12.4 @stn", None),
        ("12.4 @st", "12.4 @STN "),
        ("12.4 manganese br", "12.4 manganese bronze"),
        ("12.4 304 ; extr", None),
    ],
)
async def test_tab_finishes_what_the_line_understands(yard: Path, typed: str, finished: str | None) -> None:
    """A bay stays a bay, a name of several words goes on as it began, and a note is left alone."""
    async with console(yard) as driver:
        await driver.type(typed)
        await driver.press("tab")

        assert driver.line.startswith(finished) if finished else driver.line == typed


async def test_f7_keeps_a_note_for_the_handover(yard: Path) -> None:
    """A note typed after F7 is in the ledger."""
    async with console(yard) as driver:
        await driver.press("f7")
        await driver.enter("magnet of crane 2 slips")

        assert "magnet of crane 2 slips" in " ".join(driver.desk.sums().notes)


async def test_f9_does_what_is_picked_by_number_or_word(yard: Path) -> None:
    """Every action of the screen stands in one list and can be done from there."""
    async with console(yard) as driver:
        await driver.enter("12.4 304")
        await driver.press("f9")
        for word in ("Undo", "Review", "Close out", "Help", "Quit"):
            assert word in driver.picture()
        await driver.enter("undo")

        assert sum(pieces for pieces, _ in driver.bays().values()) == 0


async def test_take_over_hands_the_run_to_another_person(yard: Path) -> None:
    """The list of people opens, the picked one works the run from there on."""
    async with console(yard) as driver:
        other = driver.desk.yard.people[1]
        await driver.press("ctrl+t")
        await driver.enter("2")

        assert driver.desk.person == other
        assert other in driver.picture().splitlines()[0]


async def test_a_stop_is_read_before_the_piece_goes_on(yard: Path) -> None:
    """A STOP caution stands with the piece; the first Enter asks to read it, the second tallies."""
    async with console(yard) as driver:
        await driver.type("1.4 becu spring")
        assert "STOP" in driver.picture()
        assert "beryllium" in driver.picture()

        await driver.press("enter")
        assert driver.bays() == {}

        await driver.press("enter")
        assert sum(pieces for pieces, _ in driver.bays().values()) == 1


async def test_a_caution_is_told_in_full_once_a_shift(yard: Path) -> None:
    """Tallied under once it is a title with its key, until somebody else works; a STOP is told each time."""
    async with console(yard) as driver:
        for is_full in (True, False):
            await driver.type("8.6 lead")
            assert ("wash before" in driver.picture()) is is_full
            assert " WARN  Lead" in driver.picture()
            assert ("in full: Ctrl O" in driver.picture()) is not is_full
            await driver.press("enter")
        await driver.type("1.4 becu spring")
        await driver.press("enter")
        assert "Enter once more tallies the piece" in driver.picture()
        await driver.press("enter")
        await driver.type("1.4 becu spring")
        assert "Do not grind" in driver.picture()

        await driver.press("ctrl+u", "ctrl+t")
        await driver.enter("2")
        await driver.enter("seen")
        await driver.type("8.6 lead")
        assert "wash before" in driver.picture()


async def test_a_caution_of_a_line_that_was_left_is_not_told(yard: Path) -> None:
    """A line that was cleared may not have been read: its caution stands in full again."""
    async with console(yard) as driver:
        for _ in range(2):
            await driver.type("8.6 lead")
            assert "wash before" in driver.picture()
            await driver.press("ctrl+u")


async def test_ctrl_o_shows_the_cautions_in_full(yard: Path) -> None:
    """The whole text with its source, and that no caution does not mean safe."""
    async with console(yard) as driver:
        await driver.type("1.4 becu spring")
        await driver.press("ctrl+o")
        picture = driver.picture()
        await driver.press("escape")

        assert "Source:" in picture
        assert driver.app.screen is driver.app.sorting


async def test_no_weight_is_said(yard: Path) -> None:
    """Enter without a weight keeps the line and says what is missing."""
    async with console(yard) as driver:
        await driver.enter("304 sheet")

        assert "Type the weight anywhere" in driver.picture()
        assert driver.line == "304 sheet"


async def test_lines_entered_before_the_yard_is_open_are_tallied(yard: Path) -> None:
    """Keys pressed while the yard opens are not lost, Enter neither."""
    async with console(yard) as first:
        app = first.app
        await first.press("ctrl+q")
    assert app.return_code == 0

    from console.app import ConsoleApp
    from tests.driven.driving import NOON, Driver

    app = ConsoleApp(yard, now=lambda: NOON)
    async with app.run_test(size=(80, 24)) as pilot:
        driver = Driver(app, pilot)
        app.sorting.line.put("12.4 304")
        app.sorting.entering.enter("12.4 304")
        app.sorting.line.put("3.1 yel")
        await driver.opened()

        assert sum(pieces for pieces, _ in driver.bays().values()) == 1
        assert driver.line == "3.1 yel"


async def test_quit_and_reopen_finds_the_run_and_the_half_typed_line(yard: Path) -> None:
    """Ctrl Q leaves the run open; the next start has the sums and the line as they were."""
    async with console(yard) as driver:
        await driver.enter("12.4 304")
        before = driver.bays()
        await driver.type("3.1 yel")
        await driver.press("ctrl+q")

    async with console(yard) as driver:
        assert driver.bays() == before
        assert driver.line == "3.1 yel"
        await driver.press("ctrl+u")
        await driver.press("ctrl+q")

    async with console(yard) as driver:
        assert driver.line == ""


async def test_resizing_keeps_line_sums_and_selection(yard: Path) -> None:
    """Down to a stamp and up again: a message while too small, then everything as it was."""
    with (yard / "yard.toml").open("a", encoding="utf-8") as file:
        file.write("\n[console]\nshow_next_check = false\n")  # advice comes when it comes
    async with console(yard) as driver:
        await driver.enter("12.4 304")
        await driver.type("8.05 cr18.2 ni8.1 fe71.4")
        await driver.press("down")
        before = driver.picture()

        await driver.pilot.resize_terminal(60, 20)
        await driver.pilot.pause()
        assert "Too small: 60 x 20" in driver.picture()
        await driver.pilot.resize_terminal(160, 45)
        await driver.pilot.pause()
        assert "F1  Help" in driver.picture()
        await driver.pilot.resize_terminal(80, 24)
        await driver.pilot.pause()

        assert driver.picture() == before


async def test_text_from_outside_is_never_markup(yard: Path) -> None:
    """Brackets, links and escapes typed by a person are shown as text or marked, and do nothing."""
    async with console(yard) as driver:
        await driver.enter("2 304 ; [red]hot[/] [@click=app.quit]x[/]")
        await driver.press("f6")
        assert "[red]hot[/]" in driver.picture()
        await driver.press("escape")

        driver.app.sorting.line.put("2 304 ; \x1b[31mred\x07")
        await driver.press("enter")
        await driver.press("f6")
        assert "\x1b" not in driver.picture()
