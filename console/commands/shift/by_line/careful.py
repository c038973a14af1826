"""Cautions line by line: in full the first time, by their titles from then on; a STOP always in full."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from grade_library.cautions import Caution

NONE_YET = "No piece with a caution yet."
ALSO = "Careful as before, cautions says how: "


class Careful:
    """Remembers what somebody at this terminal was told."""

    def __init__(self) -> None:
        self._told: set[tuple[str, str]] = set()
        self._last: tuple[Caution, ...] = ()

    def behind(self, cautions: Sequence["Caution"]) -> str:
        """Return what stands behind the sentence of a piece that was tallied; empty where nothing does.

        Args:
            cautions: Of the piece, the most urgent first.
        """
        if not cautions:
            return ""
        self._last = tuple(cautions)
        fresh = [one for one in cautions if str(one.level) == "stop" or _kind(one) not in self._told]
        said = [in_words(one) for one in fresh[:1]]
        self._told |= {_kind(one) for one in fresh[:1]}
        if titles := ", ".join(one.title.lower() for one in cautions if one not in fresh[:1]):
            said.append(f"{ALSO}{titles}." if not fresh else f"Also: {titles}.")
        return ". " + " ".join(said)

    def in_full(self) -> str:
        """Return every caution of the last piece that had one."""
        return " ".join(map(in_words, self._last)) or NONE_YET

    def begin_shift(self) -> None:
        """Tell every caution in full again: somebody else reads them."""
        self._told.clear()


def in_words(caution: "Caution") -> str:
    """Return level, title and words of a caution."""
    return f"{caution.level.value.capitalize()}, {caution.title.lower()}: {caution.say}"


def _kind(caution: "Caution") -> tuple[str, str]:
    """Return what is told once: a class of hazard, and anew where it weighs more."""
    return caution.caution_id, str(caution.level)
