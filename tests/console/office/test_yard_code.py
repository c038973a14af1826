"""A yard's code stands before its terminals, and what was tagged before it came is still found."""

from pathlib import Path

import pytest

from console.desk import Desk
from console.yard.errors import YardFileError
from tests.conftest import NOON


def coded(folder: Path, code: str) -> None:
    file = folder / "yard.toml"
    file.write_text(f'yard_code = "{code}"\n' + file.read_text("utf-8"), encoding="utf-8")


def test_old_tags_are_found_and_no_number_is_given_again(yard_folder: Path) -> None:
    """After a code came new holds and runs bear it, count on, and the old tag still names its piece."""
    desk = Desk.open(yard_folder, now=lambda: NOON)
    assert desk.tally(desk.consider("1 ? ; grey")).row.tag == "T1-H1"
    desk.close()
    coded(yard_folder, "N")

    desk = Desk.open(yard_folder, now=lambda: NOON)
    try:
        assert desk.tally(desk.consider("1 ? ; grey")).row.tag == "N-T1-H2"
        assert {piece.tag for piece in desk.sums().holds} == {"T1-H1", "N-T1-H2"}
        assert desk.ledger.terminal == "N-T1"
    finally:
        desk.close()


@pytest.mark.parametrize("code", ["north", "N 1", "N-", "Ñ"])
def test_a_code_that_cannot_stand_in_a_tag_is_refused(yard_folder: Path, code: str) -> None:
    """A code is a few letters and digits; anything else is told with what would be right."""
    coded(yard_folder, code)

    with pytest.raises(YardFileError, match="yard_code.*at most 4 letters and digits"):
        Desk.open(yard_folder, now=lambda: NOON)
