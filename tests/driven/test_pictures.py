"""The main states look as they were last looked at: `python -m tests.pictures` draws them anew."""

from pathlib import Path

import pytest

from tests.driven.states import STATES, State
from tests.pictures import PICTURES, digest, stale_svgs, text_of


@pytest.mark.parametrize("state", STATES, ids=lambda state: state.name)
async def test_a_state_looks_as_it_was_approved(state: State, yard: Path) -> None:
    """The text of the screen is exactly the one kept."""
    kept = (PICTURES / f"{state.name}.txt").read_text(encoding="utf-8")

    now, _ = await text_of(state, yard)

    assert now == kept, f"{state.name} looks different; look at it, then run: python -m tests.pictures"


def test_the_pictures_of_the_readme_are_fresh() -> None:
    """Every SVG was drawn from the text that is kept now."""
    assert stale_svgs() == []


def test_a_digest_differs_with_the_text() -> None:
    """One changed cell is noticed."""
    assert digest("▶ 304") != digest("▶ 316")
