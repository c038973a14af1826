"""The key that takes a weight from a wired scale, over a real pseudo-terminal."""

from pathlib import Path

from console.readings.scale.wire import ScaleWire
from tests.console.readings.wired import PATTERN, scale_at
from tests.driven.driving import console
from tests.driven.test_readings_offered import until


def wired(yard: Path, wire: ScaleWire) -> Path:
    """Write the wire into the yard's file."""
    file = yard / "yard.toml"
    keys = f"port = \"{wire.port}\"\npattern = '{wire.pattern}'\nwait_seconds = {wire.wait_s}\n"
    text = f"[piece_scale.wire]\n{keys}\n"
    file.write_text(file.read_text(encoding="utf-8").replace("[ticket_scale]", f"{text}[ticket_scale]", 1))
    return yard


async def test_the_key_puts_the_weight_before_what_is_typed_and_tallies_nothing(yard: Path) -> None:
    """Once more it is the weight as it is now; a weight of the hand's own is left alone; Enter tallies."""
    patient = ScaleWire(port="", pattern=PATTERN, wait_s=10.0)
    with scale_at(b"= 12.40 kg\r\n", wire=patient) as wire:
        async with console(wired(yard, wire)) as driver:
            await driver.type("304 ")
            await driver.press("ctrl+x")
            await until(driver, lambda: driver.line == "12.40kg 304 ")
            assert driver.bays() == {}
            await driver.press("ctrl+x")
            await until(driver, lambda: "12.40 kg put on the line" in driver.picture())
            assert driver.line == "12.40kg 304 "
            await driver.press("enter")
            assert driver.bays() == {"STN": (1, 12_400)}

            await driver.type("3 304")
            await driver.press("ctrl+x")
            assert "Take the weight off the line" in driver.picture()
            assert driver.line == "3 304"


async def test_a_weight_that_comes_after_its_piece_is_dropped(yard: Path) -> None:
    """No key waits for the scale, and a weight never lands on the next piece."""
    with scale_at() as wire:
        async with console(wired(yard, wire)) as driver:
            await driver.press("ctrl+x")
            await driver.enter("3 304")
            driver.app.sorting.entering.weighing._take(12_400, 0)

            assert driver.line == ""
            await until(driver, lambda: "sends nothing" in driver.picture())


async def test_without_a_wire_the_key_says_what_to_set(yard: Path) -> None:
    """The demo yard has no scale on a wire."""
    async with console(yard) as driver:
        await driver.press("ctrl+x")
        assert "no scale is wired up" in driver.picture()


def test_the_pattern_of_the_tests_is_one_that_a_yard_can_have() -> None:
    """No single quote in it, which would end it in yard.toml."""
    assert "'" not in PATTERN
