"""The second look, by keys."""

from pathlib import Path

from tests.driven.driving import console


async def test_close_out_brings_the_pieces_back(yard: Path) -> None:
    """The close-out asks for the second look first; the screen asks by mark, and shows the matrix."""
    file = yard / "yard.toml"
    told = "[recheck]\nshare = 0.5\n\n[piece_scale]"
    file.write_text(file.read_text(encoding="utf-8").replace("[piece_scale]", told, 1), encoding="utf-8")
    async with console(yard, size=(110, 30)) as driver:
        while not driver.desk.rechecks.due():
            await driver.enter("12.4 304 stn")
        mark = driver.desk.rechecks.due()[0].mark
        assert f"write {mark} on it" in " ".join(driver.picture().split())

        await driver.press("f8", "f8")
        assert f"1 piece waits for a second look: {mark}" in driver.picture()
        await driver.enter("1")
        assert f"Set aside, to be shot or filed: {mark}" in driver.picture()
        await driver.press("n")
        await driver.enter("1")
        await driver.enter("cr18.2 ni8.1 fe71.3 mn1.4 m0")
        assert f"{mark}: right, STN takes it" in driver.picture()
        assert "Right: 1 of 1" in driver.picture()

        await driver.press("escape", "f8")
        assert "second look" not in driver.picture()
        assert driver.desk.rechecks.due() == []
