"""Hands tag, tally or handover to the clipboard of the terminal (OSC 52), for another program."""

from typing import TYPE_CHECKING

from console.panes.said_pane import Said
from console.screens.sorting import words

if TYPE_CHECKING:
    from console.screens.sorting.sorting_screen import SortingScreen


class Copying:
    """What was copied is said with its length; whether the terminal took it, no terminal tells."""

    def __init__(self, screen: "SortingScreen") -> None:
        self._screen = screen

    def tag(self) -> None:
        """Copy the tag of the newest piece on hold."""
        holds = [piece for piece in self._screen.desk.sums().holds if piece.tag]
        if holds:
            self._copy(words.TAG_COPIED.format(tag=holds[-1].tag), holds[-1].tag or "")
        else:
            self._screen.say(Said(words.NO_TAG, is_refusal=True))

    def tally(self) -> None:
        """Copy pieces and weight by bay."""
        from console.reports.tally_text import tally_text

        self._copy(words.TALLY_COPIED, tally_text(self._screen.desk.sums(), self._screen.desk.yard))

    def handover(self) -> None:
        """Copy the handover of the run so far."""
        self._copy(words.HANDOVER_COPIED, self._screen.desk.closing.handover_so_far())

    def _copy(self, said: str, text: str) -> None:
        self._screen.app.copy_to_clipboard(text)
        self._screen.say(Said(f"{said}{words.COPIED.format(count=len(text))}"))
