"""Which keys a yard wants instead of the usual ones, checked against all that there are."""

import difflib
from collections.abc import Iterable, Mapping

from textual.binding import Binding, BindingType

from console.ground.errors import BaywrightError
from console.panes.entry_line import EDITING
from console.screens.keys.printed import printed
from console.screens.keys.tables import KEY_TABLES

TYPING = frozenset(EDITING)
"""Keys that move and delete on the entry line."""
PLACE = "yard.toml, console, keys"


class RemapError(BaywrightError):
    """A key cannot be given to an action; the message says which and why."""


def refuse_bad_keys(wanted: Mapping[str, str], of_app: Iterable[BindingType]) -> None:
    """Check the keys that a yard wants.

    Args:
        wanted: Name of an action -> keys, comma-separated.
        of_app: The bindings that hold on every screen.

    Raises:
        RemapError: There is no such action, or two actions of one screen would have the same key.
    """
    everywhere = list(of_app)
    screens = {table.screen: [*table.bindings, *everywhere] for table in KEY_TABLES}
    known = {
        one.id for bindings in screens.values() for one in bindings if isinstance(one, Binding) and one.id
    }
    for action in wanted:
        if action not in known:
            near = difflib.get_close_matches(action, known, n=1, cutoff=0.5)
            hint = f'did you mean "{near[0]}"?' if near else f"actions: {', '.join(sorted(known))}"
            raise RemapError(f'{PLACE}: there is no action "{action}"; {hint}')
    for screen, bindings in screens.items():
        _refuse_clash(screen, bindings, wanted)


def _refuse_clash(screen: str, bindings: Iterable[BindingType], wanted: Mapping[str, str]) -> None:
    taken: dict[str, str] = {}
    for binding in bindings:
        if not isinstance(binding, Binding):
            continue
        name = binding.id or binding.description
        for key in wanted.get(binding.id or "", binding.key).split(","):
            if screen == "sorting" and key in TYPING and binding.id in wanted:
                raise RemapError(f"{PLACE}, {name}: {printed(key)} is needed for typing on the line")
            other = taken.setdefault(key, name)
            if other != name and (binding.id in wanted or other in wanted):
                raise RemapError(f"{PLACE}: {printed(key)} would mean both {other} and {name} on {screen}")
