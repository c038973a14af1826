"""What all full screens of the console share: the key line at the bottom, and the way back."""

from collections.abc import Mapping
from typing import ClassVar

from textual.screen import Screen

from console.panes.key_line import KeyLine
from console.panes.said_pane import Said, SaidPane
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
        keys = list(self.more_keys)
        for key, active in self.active_bindings.items():
            binding = active.binding
            if binding.show and active.enabled:
                keys.append((self.app.get_key_display(binding.with_key(key)), binding.description))
        self.query_one(KeyLine).keys = tuple(keys)

    def say(self, said: Said) -> None:
        """Show one sentence until the next."""
        self.query_one(SaidPane).said = said

    def acted(self, said: Said) -> None:
        """Say what an act came to; a screen that shows what acts change, shows that too."""
        self.say(said)

    def action_leave(self) -> None:
        """Go back to where it was opened."""
        self.dismiss(None)
