"""What all full screens of the console share: the key line at the bottom."""

from collections.abc import Mapping
from typing import ClassVar, TypeVar

from textual.screen import Screen

from console.panes.key_line import KeyLine
from console.screens.keys.tables import key_names

Result = TypeVar("Result")


class ConsoleScreen(Screen[Result]):
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
