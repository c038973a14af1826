"""Figures alone behind "*": the console asks for the element that decides next."""

from pathlib import Path

from tests.driven.driving import console


async def test_figures_answer_what_is_asked_in_grey_and_their_symbols_stand_on_the_line(yard: Path) -> None:
    """Each figure gets the symbol that stood in grey when it was typed, at the blank behind it; what settles
    the piece is the end of it, and the kept line says all."""
    async with console(yard) as driver:
        driver.desk.checks.shoot("316 coupon", "cr16.8 ni10.2 mo2.1 mn1.5")
        await driver.type("5m0*cr18.2 ")
        assert driver.line == "5m0 cr=18.2 *"
        assert "5m0 cr=18.2 *Ni?" in driver.picture()

        await driver.type("8.1")
        assert ("Ni 8.1 %" in driver.picture(), "Ni?" in driver.picture()) == (True, False)
        await driver.type(" ")
        asked = driver.line
        assert asked == "5m0 cr=18.2 ni=8.1 *"
        assert "*Fe? settled already" in driver.picture()
        await driver.type(".s")
        assert "settled" in driver.picture()
        await driver.press("enter")

        newest = driver.desk.review.pieces()[0]
        assert (newest.line, newest.bay) == ("5m0 cr=18.2 ni=8.1 .s", "STN")

        await driver.type("6.bm0*")
        assert "6.bm0*Cr?" in driver.picture()
        await driver.type("17.1 8.6")
        await driver.press("enter")
        assert driver.desk.review.pieces()[0].line == "6.bm0 cr=17.1 ni=8.6"


async def test_what_is_not_shown_is_passed_over_and_a_figure_that_answers_nothing_is_asked_back(
    yard: Path,
) -> None:
    """ "-" asks for another element and says nothing of the piece; nothing is guessed, nothing typed lost."""
    async with console(yard) as driver:
        await driver.enter("5*18.2 8.1")
        assert ("type the element, as *cr18.2" in driver.picture(), driver.line) == (True, "5 *18.2 8.1")
        assert driver.desk.sums().entries == 0
        await driver.press("escape")

        await driver.type("5m0*cu88.7 ")
        assert "5m0 cu=88.7 *Zn?" in driver.picture()
        await driver.type("- ")
        assert (driver.line, "*Zn?" in driver.picture()) == ("5m0 cu=88.7 zn=- *", False)
        await driver.type("ni9.9")
        await driver.press("enter")

        newest = driver.desk.review.pieces()[0]
        assert newest.line == "5m0 cu=88.7 ni=9.9"
        assert not driver.desk.consider(newest.line).parsed.facts.shots[0].reading.below


async def test_what_stands_in_grey_is_no_text(yard: Path) -> None:
    """Neither the arrow to the right nor Enter nor a correction takes it; it goes with the next letter."""
    async with console(yard) as driver:
        await driver.enter("5 cr18.2 ni8.1 fe71")
        await driver.type("6m0*")
        assert "6m0*Cr?" in driver.picture()
        await driver.press("right")
        assert (driver.line, "Cr?" in driver.picture()) == ("6m0*", False)
        await driver.type(" copper")
        await driver.press("enter")

        assert driver.desk.review.pieces()[0].line == "6m0 copper"


async def test_a_pasted_line_comes_to_what_a_typed_one_does(yard: Path) -> None:
    """What is asked for goes by what stands before each figure, not by what comes behind."""
    line = "5m0*cr18.2 8.1 .t"
    async with console(yard) as driver:
        await driver.enter(line)
        typed = driver.desk.review.pieces()[0]
        await driver.press("f4")

        driver.app.sorting.line.put(line)
        await driver.at_rest()
        await driver.press("enter")

        pasted = driver.desk.review.pieces()[0]
        assert (pasted.line, pasted.bay) == (typed.line, typed.bay) == ("5m0 cr=18.2 ni=8.1 .t", "STN")
