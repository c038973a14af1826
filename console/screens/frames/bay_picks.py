"""Bays to pick from for a piece."""

from typing import TYPE_CHECKING

from console.ground.figures import percent
from console.screens.frames.pick_screen import Pick

if TYPE_CHECKING:
    from console.yard.placing.placement import BayWorth, Placement
    from console.yard.yard import Bay, Yard

SUGGESTED = "suggested"
WAITS = "waits with a tag"
RULED_OUT = "ruled out: {why}"
ACCEPTED = "{share} accepted"


def bay_picks(yard: "Yard", placement: "Placement | None") -> list[Pick]:
    """Return every bay: the suggested one, then those that pay most, ruled-out ones last and quiet."""
    worths = {worth.bay.code: worth for worth in placement.ranking} if placement else {}
    suggested = placement.bay.code if placement else ""
    order = dict.fromkeys([suggested, *worths, *[bay.code for bay in yard.bays]])
    return [
        _bay_pick(yard.bay(code), worths.get(code), yard, is_suggested=code == suggested)
        for code in order
        if code
    ]


def _bay_pick(bay: "Bay", worth: "BayWorth | None", yard: "Yard", *, is_suggested: bool) -> Pick:
    if is_suggested:
        aside = SUGGESTED
    elif worth is None:
        aside = WAITS if bay.is_hold else ""
    elif worth.veto:
        aside = RULED_OUT.format(why=worth.veto)
    else:
        from console.yard.money import price_shown

        accepted = ACCEPTED.format(share=percent(worth.accepted))
        aside = ", ".join(filter(None, (accepted, price_shown(worth.worth_per_kg, yard))))
    return Pick(key=bay.code, code=bay.code, text=bay.name, aside=aside, is_quiet=bool(worth and worth.veto))
