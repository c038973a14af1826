"""What there is to pick from: bays for a piece, actions of a screen."""

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from console.ground.percent import percent
from console.screens.pick_screen import Pick

if TYPE_CHECKING:
    from textual.app import App
    from textual.screen import Screen

    from console.yard.placing.placement import BayWorth, Placement
    from console.yard.yard import Bay, Yard

SUGGESTED = "suggested"
WAITS = "waits with a tag"
RULED_OUT = "ruled out: {why}"
ACCEPTED = "{share} accepted, {worth} {currency}/kg"


def bay_picks(yard: "Yard", placement: "Placement | None") -> list[Pick]:
    """Return every bay: the suggested one, then those that pay most, ruled-out ones last and quiet."""
    worths = {worth.bay.code: worth for worth in placement.ranking} if placement else {}
    suggested = placement.bay.code if placement else ""
    order = dict.fromkeys([suggested, *worths, *[bay.code for bay in yard.bays]])
    return [
        _bay_pick(yard.bay(code), worths.get(code), yard.currency, is_suggested=code == suggested)
        for code in order
        if code
    ]


def _bay_pick(bay: "Bay", worth: "BayWorth | None", currency: str, *, is_suggested: bool) -> Pick:
    if is_suggested:
        aside = SUGGESTED
    elif worth is None:
        aside = WAITS if bay.is_hold else ""
    elif worth.veto:
        aside = RULED_OUT.format(why=worth.veto)
    else:
        aside = ACCEPTED.format(
            share=percent(worth.accepted), worth=f"{worth.worth_per_kg:.2f}", currency=currency
        )
    return Pick(key=bay.code, code=bay.code, text=bay.name, aside=aside, is_quiet=bool(worth and worth.veto))


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
