"""The key of the running tare, and where it is shown while it holds."""

from typing import TYPE_CHECKING

from console.panes.said_pane import Said
from console.screens.sorting import words

if TYPE_CHECKING:
    from console.screens.sorting.sorting_screen import SortingScreen


class TareKey:
    """Begins and ends the tare of the desk; it stands beside the title of the line."""

    def __init__(self, screen: "SortingScreen") -> None:
        self._screen = screen
        self._entry = screen.panes.entry

    def press(self) -> None:
        """Take the weight on the line as the tare from here on; on an empty line end it."""
        line, names = self._entry.line, self._screen.key_names
        self._screen.at_hand()  # raises while the desk opens
        tare = self._screen.desk.piece.tare
        if not line.value.strip():
            said = words.TARE_ENDED if tare.said else words.TARE_HOW.format(key=names)
            tare.end()
        elif tare.begin(line.value):
            said = words.TARE_BEGUN.format(tare=tare.said, key=names)
            line.clear()
        else:
            self._screen.say(Said(words.TARE_HOW.format(key=names), is_refusal=True))
            return
        self.show()
        self._screen.say(Said(said))

    def show(self) -> None:
        """Show the tare that the desk takes off."""
        said = self._screen.desk.piece.tare.said
        self._entry.tare = words.TARE_SHOWN.format(tare=said) if said else ""
