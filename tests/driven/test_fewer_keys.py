"""Keys that are saved at the bench."""

from pathlib import Path
from statistics import median

from tests.driven.driving import console
from tests.driven.keystrokes import TWENTY
from tests.driven.test_settings_and_modes import with_settings


async def test_escape_clears_the_line_and_once_more_brings_it_back(yard: Path) -> None:
    """Nothing typed is lost by it, also where letters follow at once; a tallied piece forgets the cleared."""
    async with console(yard) as driver:
        await driver.type("12.4 304")
        await driver.press("escape")
        assert (driver.line, "The line is cleared. Esc once more" in driver.picture()) == ("", True)
        await driver.press("escape")
        assert driver.line == "12.4 304"

        await driver.press("escape")
        await driver.enter("3 cub")
        await driver.press("escape")

        assert (driver.line, driver.bays()) == ("", {"CUB": (1, 3_000)})


async def test_escape_leaves_the_tour_and_the_correction_before_it_clears(yard: Path) -> None:
    """What was typed in the tour stays on the line; a correction is left as it always was."""
    async with console(yard) as driver:
        await driver.press("f10")
        await driver.type("12.4 304")
        await driver.press("escape")
        assert (driver.line, driver.app.sorting.tour.is_on) == ("12.4 304", False)

        await driver.press("enter", "ctrl+p", "escape")

        assert (driver.line, "Nothing was changed" in driver.picture()) == ("", True)


async def test_a_reading_may_be_typed_value_first_in_one_word(yard: Path) -> None:
    """18.2cr8.1ni is the reading cr18.2 ni8.1, lies in the same bay, and takes fewer than sixteen keys."""
    line = "8 18.2cr8.1ni"
    async with console(yard) as driver:
        await driver.enter("8 cr18.2 ni8.1")
        await driver.enter(line)

        newest, before = driver.desk.review.pieces()[:2]
        facts = [driver.desk.consider(one.line).parsed.facts for one in (newest, before)]
        assert (newest.bay, facts[0]) == (before.bay, facts[1])
    assert len(line) + 1 <= 16


def test_the_median_piece_takes_few_keys() -> None:
    """Of the twenty common pieces those without a reading take at most nine keys, those with one sixteen."""
    read = [typed.keys for typed in TWENTY if "read" in typed.piece]
    unread = [typed.keys for typed in TWENTY if "read" not in typed.piece]

    assert (median(unread) <= 9, median(read) <= 16) == (True, True)


async def test_values_alone_go_by_the_reading_before_and_the_line_that_is_kept_says_all(yard: Path) -> None:
    """=18.1 8.2 70.9 is kept as cr=18.1 ni=8.2 fe=70.9, also after a restart, and Up brings that back."""
    async with console(yard) as driver:
        await driver.enter("8 18.2cr8.1ni71fe")
        await driver.type("7=18.1 8.2 70.9")
        assert "Cr 18.1 %  ·  Ni 8.2 %" in driver.picture()
        await driver.press("enter")
        assert driver.desk.review.pieces()[0].line == "7 cr=18.1 ni=8.2 fe=70.9"

        await driver.press("up")
        assert driver.line == "7 cr=18.1 ni=8.2 fe=70.9"
        await driver.press("escape")

    async with console(yard) as driver:
        await driver.enter("6=17.9 8.4 71")

        newest = driver.desk.review.pieces()[0]
        assert (newest.line, newest.bay) == ("6 cr=17.9 ni=8.4 fe=71", "STN")


async def test_values_that_no_reading_gives_elements_are_asked_back(yard: Path) -> None:
    """The first reading of a run names its elements; nothing is guessed."""
    async with console(yard) as driver:
        await driver.enter("8=18.2 8.1")

        assert "type the elements" in driver.picture()
        assert driver.desk.sums().entries == 0


async def test_a_technique_holds_until_another_is_typed_and_is_shown(yard: Path) -> None:
    """The line that is kept names it; a correction of an earlier line does not get it; lab is said anew."""
    async with console(yard) as driver:
        await driver.enter("8 cr18.2 ni8.1 fe71")
        await driver.enter("3.1 si0.11 fe0.2 cu4.3 mn0.6 al93 libs")
        await driver.type("2.7 si0.2 fe0.3 cu4.4 al92")
        assert "by laser" in driver.picture()
        await driver.press("enter")
        assert driver.desk.review.pieces()[0].line == "2.7 libs si0.2 fe0.3 cu4.4 al92"

        await driver.press("f4", "f4", "ctrl+p", "enter")
        assert driver.desk.review.pieces()[0].line == "8 cr18.2 ni8.1 fe71"

        await driver.enter("8 cr18.2 ni8.1 fe71 xrf")
        await driver.enter("7 cr18.2 ni8.1 fe71")
        assert driver.desk.review.pieces()[0].line == "7 cr18.2 ni8.1 fe71"

        await driver.enter("7 cr18.2 ni8.1 fe71 lab")
        await driver.enter("7.5 cr18.2 ni8.1 fe71")
        assert driver.desk.review.pieces()[0].line == "7.5 cr18.2 ni8.1 fe71"


async def test_one_key_tallies_a_clean_piece_into_the_bay_of_the_piece_before(yard: Path) -> None:
    """What else stands on the line is kept, a surface that was said too; a hold has no bay to repeat."""
    async with console(yard) as driver:
        await driver.press("ctrl+d")
        assert "Type a bay, or Enter" in driver.picture()
        await driver.enter("12.4 6063 .e")
        await driver.type("8.2 6082 ; gate 3")
        await driver.press("ctrl+d")
        newest = driver.desk.review.pieces()[0]
        assert (newest.line, newest.bay) == ("8.2 6082 +b @AXC ; gate 3", "AXC")

        await driver.type("3.3 6060 +o")
        await driver.press("ctrl+d")
        assert driver.desk.review.pieces()[0].line == "3.3 6060 +o @AXC"

        await driver.enter("2 ?")
        await driver.type("4 6060")
        await driver.press("ctrl+d")
        assert ("waits on hold" in driver.picture(), driver.line) == (True, "4 6060")


async def test_a_name_of_this_run_stands_in_grey_and_tab_takes_it(yard: Path) -> None:
    """Behind a weight its first figure or letter brings it, a blank alone the last one; Enter takes nothing
    of it, and where the metal is told already nothing is offered."""
    async with console(yard) as driver:
        await driver.enter("12.4 6063.e")
        await driver.enter("3 yellow brass")
        await driver.type("8.2 6")
        assert "8.2 6063" in driver.picture()
        await driver.press("enter")
        assert ("second weight" in driver.picture(), driver.desk.sums().entries) == (True, 2)
        await driver.press("tab")
        assert driver.line == "8.2 6063 "
        assert "8.2 6063 yellow" not in driver.picture()
        await driver.press("enter")
        assert driver.desk.review.pieces()[0].line == "8.2 6063 "

        await driver.type("4 ")
        assert "4 6063" in driver.picture()
        await driver.press("tab", "tab")
        assert driver.line == "4 yellow brass "
        await driver.press("escape")
        await driver.type("4 yellow ")
        assert "4 yellow brass" in driver.picture()
        await driver.press("enter")
        assert "yellow brass" not in driver.desk.review.pieces()[0].line

        await driver.type("5 m0 ye")
        await driver.press("home")
        await driver.type("1")
        assert "15 m0 yellow" not in driver.picture()


async def test_a_word_of_the_yard_is_written_out_and_listed(yard: Path) -> None:
    """What it stands for shows while it is typed and is kept with the piece; help lists the yard's words."""
    file = yard / "yard.toml"
    text = file.read_text("utf-8").replace(
        "[readings_files]", '[words]\ncp = "copper pipe"\n\n[readings_files]'
    )
    file.write_text(text, "utf-8")
    async with console(yard) as driver:
        await driver.type("8.6cp m0")
        assert "copper" in driver.picture().split("Can be")[0].lower()
        await driver.press("enter")
        assert driver.desk.review.pieces()[0].line == "8.6 copper pipe m0"

        await driver.type("3cp*cu99.9")
        await driver.press("enter")
        assert driver.desk.review.pieces()[0].line == "3 copper pipe cu=99.9"

        from console.screens.help.help_page import help_text

        assert (
            "copper pipe" in help_text(driver.app, driver.desk.yard, 80).plain.split("Words of this yard")[1]
        )


async def test_a_scanner_may_send_tab_or_a_line_feed_behind_a_code(yard: Path) -> None:
    """With tab a whole word enters the line, a begun one is finished; a line feed after Enter is silent."""
    async with console(with_settings(yard, 'scanner_suffix = "tab"')) as driver:
        await driver.type("3 cub")
        await driver.press("tab")
        assert (driver.line, driver.bays()) == ("", {"CUB": (1, 3_000)})
        await driver.type("12.4 galvan")
        await driver.press("tab")
        assert driver.line.startswith("12.4 galvanis")

    file = yard / "yard.toml"
    file.write_text(
        file.read_text("utf-8").replace('suffix = "tab"', 'suffix = "enter and line feed"'), "utf-8"
    )
    async with console(yard) as driver:
        await driver.press("escape")
        await driver.type("4 cub")
        await driver.press("enter", "ctrl+j")
        assert ("NOT DONE" in driver.picture(), driver.bays()) == (False, {"CUB": (2, 7_000)})


async def test_tag_tally_and_handover_go_to_the_clipboard_of_the_terminal(yard: Path) -> None:
    """Each is picked by a word in the list of actions, and is what a report would say."""
    async with console(yard) as driver:
        await driver.press("f9")
        await driver.enter("copy tag")
        assert "no tag to copy" in driver.picture()
        await driver.enter("12.4 304")
        await driver.enter("2 ?")
        await driver.press("f9")
        await driver.enter("copy tag")
        assert driver.app.clipboard == "T1-H1"
        await driver.press("f9")
        await driver.enter("copy tally")
        assert ("STN" in driver.app.clipboard, "14.40 kg" in driver.app.clipboard) == (True, True)
        await driver.press("f9")
        await driver.enter("copy handover")

        assert driver.app.clipboard == driver.desk.closing.handover_so_far()
        assert "went to the clipboard" in driver.picture()
