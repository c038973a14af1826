"""Every key of every screen, table by table. Help, the README and the check of remapped keys read this."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from textual.binding import Binding, BindingType

from console.panes.entry_line import EntryLine
from console.screens.keys.close_out import CLOSE_OUT_KEYS
from console.screens.keys.further import (
    BAYS_KEYS,
    CHECKS_KEYS,
    CONSIGNMENTS_KEYS,
    LEFT_KEYS,
    LOTS_KEYS,
    PLAN_KEYS,
    RECHECKS_KEYS,
    SERIES_KEYS,
)
from console.screens.keys.printed import printed
from console.screens.keys.review import REVIEW_KEYS
from console.screens.keys.sorting import SORTING_KEYS

if TYPE_CHECKING:
    from textual.app import App
    from textual.screen import Screen


@dataclass(frozen=True, slots=True, kw_only=True)
class KeyTable:
    """The keys of one screen."""

    screen: str
    """What the screen is called in messages."""
    title: str
    """Heading on the help page."""
    bindings: tuple[BindingType, ...]


KEY_TABLES = (
    KeyTable(screen="sorting", title="Keys while sorting", bindings=(*SORTING_KEYS, *EntryLine.BINDINGS)),
    KeyTable(screen="review", title="Keys in the review", bindings=tuple(REVIEW_KEYS)),
    KeyTable(screen="close-out", title="Keys at close-out", bindings=tuple(CLOSE_OUT_KEYS)),
    KeyTable(screen="shots", title="Keys on the screen of shots", bindings=tuple(SERIES_KEYS)),
    KeyTable(screen="bays", title="Keys on the screen of bays", bindings=tuple(BAYS_KEYS)),
    KeyTable(screen="lots", title="Keys on the screen of uniform lots", bindings=tuple(LOTS_KEYS)),
    KeyTable(screen="re-checks", title="Keys on the screen of re-checks", bindings=tuple(RECHECKS_KEYS)),
    KeyTable(screen="what was left", title="Keys on the page of what was left", bindings=tuple(LEFT_KEYS)),
    KeyTable(screen="checks", title="Keys on the screen of check samples", bindings=tuple(CHECKS_KEYS)),
    KeyTable(
        screen="consignments", title="Keys on the screen of consignments", bindings=tuple(CONSIGNMENTS_KEYS)
    ),
    KeyTable(screen="best sale", title="Keys on the screen of the best sale", bindings=tuple(PLAN_KEYS)),
)
USUAL_KEYS: Mapping[str, str] = {
    binding.id: binding.key
    for table in KEY_TABLES
    for binding in table.bindings
    if isinstance(binding, Binding) and binding.id
}
"""Name of an action -> its keys, comma-separated, as they are where a yard wants no others."""


def key_names(app: "App[Any]") -> Mapping[str, str]:
    """Return name of an action -> its keys as printed on the keyboard, as the yard has them."""
    return {name: printed(keys) for name, keys in _keys(app).items()}


def close_with(screen: "Screen[Any]", opened_by: str) -> None:
    """Let the keys that opened a screen lead back from it too, also where the yard has remapped them.

    Args:
        screen: Has an action `leave`; mounted.
        opened_by: Name of the action that opened it; empty where none did.
    """
    if opened_by:
        screen._bindings.bind(_keys(screen.app)[opened_by], "leave", show=False)


def _keys(app: "App[Any]") -> Mapping[str, str]:
    of_app = {one.id: one.key for one in type(app).BINDINGS if isinstance(one, Binding) and one.id}
    outfit = getattr(app, "outfit", None)
    return {**USUAL_KEYS, **of_app, **(outfit.keys if outfit else {})}
