"""Everything that can be done on a screen, to pick from."""

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from console.screens.frames.pick_screen import Pick

if TYPE_CHECKING:
    from textual.app import App
    from textual.screen import Screen


def action_picks(
    app: "App[Any]", screen: "Screen[Any]", keyless: Iterable[tuple[str, str]] = ()
) -> list[Pick]:
    """Return every action of a screen that has a tooltip, numbered, with its key beside it.

    Args:
        app: Names the keys.
        screen: Has the actions.
        keyless: Further actions that no key leads to, and how each is shown.
    """
    picks: list[Pick] = []
    for active in screen.active_bindings.values():
        binding = active.binding
        # An action belongs to whoever has its binding: the app, the screen, or the line that has the focus.
        where = "app." if active.node is app else "" if active.node is screen else "focused."
        action = where + binding.action
        if not binding.tooltip or action in [pick.key for pick in picks] or not active.enabled:
            continue
        key = app.get_key_display(binding)
        picks.append(
            Pick(
                key=action,
                code=str(len(picks) + 1),
                text=f"{binding.description}: {binding.tooltip}",
                aside=key,
            )
        )
    first = len(picks) + 1
    return picks + [
        Pick(key=action, code=str(i), text=text) for i, (action, text) in enumerate(keyless, first)
    ]
