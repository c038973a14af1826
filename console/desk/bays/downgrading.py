"""A buyer's complaint, entered against the bale that it is about."""

from typing import TYPE_CHECKING

from console.desk.done import Done, done
from console.desk.refusals import DeskRefusal, mass_typed
from console.ground.cleaning import clean
from console.ground.mass import as_fraction, is_number
from console.ledger.views.downgrades import enter_downgrade, find_draw_down
from console.yard.yard import Yard

if TYPE_CHECKING:
    from console.desk.desk import Desk


def downgrade(
    desk: "Desk", bale: str, weight: str, reason: str, *, grade: str | None = None, loss: float | None = None
) -> Done[None]:
    """Write a downgrade into the open run; return once it is on disk.

    Args:
        desk: With an open run.
        bale: Tag of the bale, row of the draw-down, or a bay for its newest one.
        weight: How much of it was downgraded, as typed.
        reason: What the buyer found.
        grade: What the metal turned out to be, by any name of one grade.
        loss: What it cost [currency]; None for the bay's selling less its downgrade price.

    Raises:
        DeskRefusal: The weight or the grade cannot be read, or the loss is not known.
        LedgerRefusal: There is no such bale, or it weighed less than that.
        StoreError: The disk refused; nothing was written.
    """
    mass_g = mass_typed(weight, desk.yard)
    draw_down = find_draw_down(desk.ledger, clean(bale))
    row = enter_downgrade(
        desk.ledger,
        draw_down,
        mass_g,
        desk.person,
        loss=usual_loss(desk.yard, draw_down.bay or "", mass_g) if loss is None else loss,
        reason=clean(reason).strip(),
        grade_id=None if grade is None else _grade_id(desk, grade),
        currency=desk.yard.currency,
        unit=desk.yard.weight_unit,
    )
    desk.history.record(row)
    return done(str(row.body["text"]), row)


def usual_loss(yard: Yard, bay_code: str, mass_g: int) -> float:
    """Return what metal of a bay loses when it is downgraded [currency]: by its selling less downgrade price.

    Raises:
        DeskRefusal: The bay is gone from yard.toml.
    """
    try:
        bay = yard.bay(bay_code)
    except KeyError:
        raise DeskRefusal(
            f"Bay {bay_code} is no longer in yard.toml: say what was lost with a figure."
        ) from None
    return mass_g / 1000.0 * (bay.price_per_kg - bay.downgrade_per_kg)


def money_typed(text: str) -> float:
    """Return a sum of money as typed: "84", "84.50", "84,50" [currency].

    Raises:
        DeskRefusal: It is no number.
    """
    if not is_number(typed := clean(text).strip()):
        raise DeskRefusal(f'"{typed}" is no sum of money: type a number alone, such as 84.50.')
    return float(as_fraction(typed))


def _grade_id(desk: "Desk", name: str) -> str:
    claim = desk.names.resolve(clean(name))
    if claim is None or len(claim.grade_ids) != 1 or claim.material_ids or claim.ask:
        said = "is no grade of the library" if claim is None else f"can be {len(claim.grade_ids)} grades"
        raise DeskRefusal(f'"{clean(name)}" {said}; name one, or leave it out.')
    return next(iter(claim.grade_ids))
