"""Weights beyond the bench scale, boxes with a tare, and a tare that holds."""

from math import sqrt
from pathlib import Path

from tests.driven.driving import console


async def test_a_weight_above_the_bench_scale_says_how_it_goes_in(yard: Path) -> None:
    """The word of the platform scale, wherever it stands, which the line shows and the row keeps."""
    async with console(yard) as driver:
        await driver.enter("640 x20 fer")
        assert "type p too if the platform scale weighed it" in driver.picture()
        await driver.press("escape")
        await driver.type("640 x20 fer p")
        assert "20 pieces  ·  bay FER iron and steel  ·  by platform scale" in driver.picture()
        await driver.press("enter")

        [piece] = driver.desk.review.pieces()
        assert (piece.mass_g, piece.pieces, piece.bay, piece.is_on_platform) == (640_000, 20, "FER", True)

        await driver.enter("3200 p fer")
        assert "is above the 3000.00 kg of the platform scale" in " ".join(driver.picture().split())
        await driver.press("escape")
        await driver.enter("12 p 0.03 cu99 yellow brass")
        assert not driver.desk.review.pieces()[0].is_on_platform


async def test_the_division_of_the_scale_that_weighed_it_counts_in_the_tolerance(yard: Path) -> None:
    """Two bench weighings, one of them with a tare, and one on the platform scale: each by its own step."""
    async with console(yard) as driver:
        await driver.enter("12.4 fer")
        await driver.enter("64-28 fer")
        await driver.enter("640-28 p fer")

        parts = driver.desk.closing.difference().parts
        steps = [(part.cause, part.standard_g) for part in parts]
        assert steps == [
            ("3 entries, each rounded to 20 g", 20 * sqrt(3 / 12)),
            ("2 weighings on platform scale, each rounded to 500 g", 500 * sqrt(2 / 12)),
        ]
        await driver.press("f4")
        assert len(driver.desk.closing.difference().parts) == 1


async def test_gross_and_tare_make_the_net_and_a_solder_stays_a_solder(yard: Path) -> None:
    """640-28 weighs 612; a tare that is not lighter is refused; 60-40 behind a weight names the metal."""
    async with console(yard) as driver:
        await driver.enter("64-28.5 fer")
        assert driver.desk.review.pieces()[0].mass_g == 35_500
        await driver.enter("28-64 fer")
        assert "the heavier first" in driver.picture()
        await driver.press("escape")
        await driver.type("2 60-40")
        considered = driver.app.sorting.at_hand()
        assert considered.parsed.mass_g == 2_000
        assert considered.parsed.facts.claim is not None


async def test_heavy_pieces_need_no_word_where_the_yard_says_so(yard: Path) -> None:
    """heavy_pieces = true: above the bench scale it was the platform scale."""
    file = yard / "yard.toml"
    text = file.read_text("utf-8").replace("heavy_pieces = false", "heavy_pieces = true")
    file.write_text(text, "utf-8")
    async with console(yard) as driver:
        await driver.enter("640 x20 fer")
        await driver.enter("12 fer")

        assert [piece.is_on_platform for piece in driver.desk.review.pieces()] == [False, True]


async def test_a_running_tare_is_taken_off_each_weight_until_it_is_ended(yard: Path) -> None:
    """It stands beside the title, the row says gross and tare, same again too; a correction keeps its own."""
    async with console(yard) as driver:
        await driver.type("28")
        await driver.press("ctrl+e")
        assert (driver.line, "tare 28.00 kg" in driver.picture()) == ("", True)
        await driver.type("64 fer")
        assert "36.00 kg net of 28.00 kg tare" in driver.picture()
        await driver.press("enter")
        await driver.enter("50")
        newest, before = driver.desk.review.pieces()[:2]
        assert (before.line, before.mass_g, before.weighings) == ("64-28 fer", 36_000, 2)
        assert (newest.mass_g, newest.bay, newest.weighings) == (22_000, "FER", 2)

        await driver.press("ctrl+p", "enter")
        assert driver.desk.review.pieces()[0].mass_g == 22_000
        await driver.type("64 fer")
        await driver.press("ctrl+e")
        assert "Type the weight of the empty box alone" in driver.picture()
        await driver.press("escape", "ctrl+e")
        assert "No tare from here on" in driver.picture()
        await driver.enter("64 fer")
        assert driver.desk.review.pieces()[0].mass_g == 64_000


async def test_a_running_tare_outlives_the_sitting_and_is_told(yard: Path) -> None:
    """After a crash the next start takes it off as before and says so; once ended, nothing is left of it."""
    async with console(yard) as driver:
        await driver.type("28")
        await driver.press("ctrl+e")
        kept = (yard / "yard.running-tare").read_text("utf-8")
    async with console(yard) as driver:
        assert "28.00 kg are still taken off each weight" in driver.picture()
        assert "tare 28.00 kg" in driver.picture()
        await driver.enter("64 fer")
        assert driver.desk.review.pieces()[0].mass_g == 36_000
        await driver.enter("64-20 fer")
        assert driver.desk.review.pieces()[0].mass_g == 44_000
        await driver.press("ctrl+e")
    async with console(yard) as driver:
        assert "tare" not in driver.picture()
        await driver.enter("64 fer")
        assert driver.desk.review.pieces()[0].mass_g == 64_000
    assert kept == "28\n"


async def test_a_running_tare_is_none_of_practice_and_a_bad_file_is_none(yard: Path) -> None:
    """Practice pieces are weighed without it, and it holds again afterwards; a file that says no weight is
    no tare."""
    async with console(yard) as driver:
        await driver.type("28")
        await driver.press("ctrl+e", "f10")
        assert "tare 28" not in driver.picture()
        await driver.press("escape")
        assert "tare 28.00 kg" in driver.picture()
    for wrong in ("64-28", "304 m0", "\x00\xff", "-3", "28\n29"):
        (yard / "yard.running-tare").write_text(wrong, "utf-8")
        async with console(yard) as driver:
            assert driver.desk.piece.tare.said == ""


async def test_all_that_goes_on_over_a_restart_is_told_at_once(yard: Path) -> None:
    """The tare, whose load, and the half-typed line: none of them covers another."""
    async with console(yard) as driver:
        await driver.enter("from Old Mill load 7")
        await driver.enter("5 fer")
        await driver.type("28")
        await driver.press("ctrl+e")
        await driver.type("64 fe")
    async with console(yard) as driver:
        told = " ".join(driver.picture().split())
        assert "28.00 kg are still taken off each weight; Ctrl E on an empty line ends it." in told
        assert "The pieces go on from Old Mill load 7" in told
        assert "The half-typed line from last time is back." in told
        assert driver.line == "64 fe"
