"""Twenty common pieces by keystrokes alone."""

from pathlib import Path

from tests.driven.driving import console
from tests.driven.keystrokes import TWENTY


async def test_twenty_common_pieces_land_where_the_table_says(yard: Path) -> None:
    """Each line, typed key by key and entered, puts one entry into its bay."""
    async with console(yard) as driver:
        for typed in TWENTY:
            await driver.enter(typed.line)

            newest = driver.desk.review.pieces()[0]
            assert (newest.line.startswith(typed.line.split()[0]), newest.bay) == (True, typed.bay), typed
        assert driver.desk.sums().entries == len(TWENTY)


def test_a_known_piece_takes_a_weight_and_three_letters() -> None:
    """Most of the twenty take no more than twelve keys, "same again" takes the weight and Enter."""
    keys = sorted(typed.keys for typed in TWENTY)

    assert keys[len(keys) // 2] <= 12
    assert next(typed for typed in TWENTY if typed.line == "7.5").keys == 4
