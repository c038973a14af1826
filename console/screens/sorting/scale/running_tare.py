"""The running tare: what a box or pallet weighs, taken off each weight until it is ended."""

from typing import TYPE_CHECKING

from console.entry.token_kind import TokenKind
from console.panes.said_pane import Said
from console.screens.sorting import words

if TYPE_CHECKING:
    from console.screens.sorting.sorting_screen import SortingScreen


class RunningTare:
    """Stands beside the title of the line while it holds; the line that is kept says gross and tare."""

    def __init__(self, screen: "SortingScreen") -> None:
        self._screen = screen
        self._entry = screen.panes.entry
        self._typed = ""
        """As typed, in the yard's unit unless it names one; empty for none."""

    def press(self) -> None:
        """Take the weight on the line as the tare from here on; on an empty line end it."""
        line, names = self._entry.line, self._screen.key_names
        # As typed: the piece at hand has the tare of before taken off already.
        considered = self._screen.desk.consider(line.value) or self._screen.at_hand()
        parsed = considered.parsed
        if parsed.is_blank:
            said = words.TARE_ENDED if self._typed else words.TARE_HOW.format(key=names)
            self._show("", "")
        elif [token.kind for token in parsed.tokens] == [TokenKind.WEIGHT] and parsed.can_be_tallied:
            (weight,) = parsed.tokens
            said = words.TARE_BEGUN.format(tare=weight.meaning, key=names)
            self._show("".join(weight.text.split()), words.TARE_SHOWN.format(tare=weight.meaning))
            line.clear()
        else:
            self._screen.say(Said(words.TARE_HOW.format(key=names), is_refusal=True))
            return
        self._screen.say(Said(said))

    def _show(self, typed: str, shown: str) -> None:
        self._typed, self._entry.tare = typed, shown

    def taken_off(self, line: str) -> str:
        """Return a line with the tare behind its weight, where it has a weight and none of its own."""
        if not self._typed:
            return line
        from console.entry.amounts.weighed import is_tared  # with the desk, after the first picture

        considered = self._screen.desk.consider(line)
        tokens = considered.parsed.tokens if considered else ()
        weight = next((token for token in tokens if token.kind is TokenKind.WEIGHT), None)
        if weight is None or is_tared(weight.text.casefold()):
            return line
        gross = "".join(weight.text.split())
        return f"{line[: weight.start]}{gross}-{self._typed}{line[weight.end :]}"
