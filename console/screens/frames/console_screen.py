"""What all full screens of the console share: the key line at the bottom, and the way back."""

from collections.abc import Mapping
from typing import ClassVar

from textual.screen import Screen

from console.panes.key_line import KeyLine
from console.panes.said_pane import Said, SaidPane
from console.screens.frames.kept_answers import answers_of
from console.screens.keys.tables import key_names


class ConsoleScreen(Screen[None]):
    """A screen whose last row names its few most used keys."""

    more_keys: ClassVar[tuple[tuple[str, str], ...]] = ()
    """Keys of a widget on the screen that belong into the key line too, and their words."""

    @property
    def key_names(self) -> Mapping[str, str]:
        """Name of an action -> its keys as printed on the keyboard, as the yard has them; for texts."""
        return key_names(self.app)

    def show_keys(self) -> None:
        """Fill the key line from the bindings as they are now, remapped ones too."""
        active = self.active_bindings.items()
        shown = [(key, one.binding) for key, one in active if one.binding.show and one.enabled]
        names = ((self.app.get_key_display(one.with_key(key)), one.description) for key, one in shown)
        self.query_one(KeyLine).keys = (*self.more_keys, *names)

    def say(self, said: Said) -> None:
        """Show one sentence until the next."""
        answers_of(self).hear(said)
        self.query_one(SaidPane).said = said

    def acted(self, said: Said) -> None:
        """Say what an act came to; a screen that shows what acts change, shows that too."""
        self.say(said)

    def action_leave(self) -> None:
        """Go back to where it was opened."""
        self.dismiss(None)
