"""What a key does at the desk, and what is said of it."""

from collections.abc import Callable
from typing import TYPE_CHECKING, Any, Never, TypeVar

from console.ground.errors import BaywrightError
from console.panes.said_pane import Said

if TYPE_CHECKING:
    from console.desk import Done

Made = TypeVar("Made")
STILL_OPENING = "The yard is still opening; the line waits for it."


class StillOpening(BaywrightError):  # noqa: N818 - not a fault of the program
    """Something was asked of a desk that is not open yet; the message says so."""


class OpeningDesk:
    """Stands at the place of the desk until it is open: whatever is asked of it is refused in a sentence."""

    def consider(self, _: str) -> None:
        """Return nothing: what the line says is shown once the yard is open."""

    def __getattr__(self, _: str) -> Never:
        raise StillOpening(STILL_OPENING)


def attempt(act: "Callable[[], Done[Made]]", then: "Callable[[Done[Made]], Any] | None" = None) -> Said:
    """Do an act at the desk; return what it says, or why it was refused.

    Args:
        act: Asks the desk.
        then: Gets the act once it is done.
    """
    try:
        done = act()
    except BaywrightError as refusal:
        return refused(refusal)
    if then is not None:
        then(done)
    return Said(done.sentence)


def refused(why: BaywrightError) -> Said:
    """Return what to say of an act that was not done."""
    return Said(str(why), is_refusal=True)
