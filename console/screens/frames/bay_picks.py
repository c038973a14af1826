"""Bays to pick from for a piece: the best first, each with its number; the hold always in sight."""

from typing import TYPE_CHECKING

from console.ground.figures import percent
from console.screens.frames.pick_screen import Pick

if TYPE_CHECKING:
    from console.yard.placing.placement import BayWorth, Placement
    from console.yard.yard import Bay, Yard

ADVISED = "advised"
WAITS = "waits with a tag"
NOT_TAKEN = "not taken: {why}"
ACCEPTED = "{share} accepted"
NUMBERED = 9
"""So many bays have a number key; the hold has 0."""
HOLD_NUMBER = "0"


def bay_picks(yard: "Yard", placement: "Placement | None", *, with_hold: bool = True) -> list[Pick]:
    """Return every bay, the likeliest to take the piece first, of equal ones that of most worth.

    Bays that something keeps the piece out of come last and quiet. The hold stands below them all and stays
    in sight. Without a placement the bays stand as in yard.toml.

    Args:
        yard: Its bays.
        placement: Of the piece; None where nothing is known of it.
        with_hold: Whether the hold may be picked too.
    """
    from console.desk.piece.bay_choice import best_first  # long after the first picture

    advised = placement.bay.code if placement else ""
    picks = [
        _bay_pick(bay, worth, yard, str(number) if number <= NUMBERED else "", advised)
        for number, (bay, worth) in enumerate(best_first(yard, placement), 1)
    ]
    if with_hold:
        aside = ", ".join(filter(None, (ADVISED if yard.hold_bay.code == advised else "", WAITS)))
        hold = yard.hold_bay
        picks.append(
            Pick(
                key=hold.code,
                code=hold.code,
                text=hold.name,
                aside=aside,
                number=HOLD_NUMBER,
                stays_in_sight=True,
            )
        )
    return picks


def _bay_pick(bay: "Bay", worth: "BayWorth | None", yard: "Yard", number: str, advised: str) -> Pick:
    aside = ADVISED if bay.code == advised else ""
    if worth is not None and worth.veto:
        aside = NOT_TAKEN.format(why=worth.veto)
    elif worth is not None:
        from console.yard.money import price_shown

        accepted = ACCEPTED.format(share=percent(worth.accepted))
        aside = ", ".join(filter(None, (aside, accepted, price_shown(worth.worth_per_kg, yard))))
    return Pick(
        key=bay.code,
        code=bay.code,
        text=bay.name,
        aside=aside,
        is_quiet=bool(worth and worth.veto),
        number=number,
    )
