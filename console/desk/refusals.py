"""What the desk says when an act cannot be done."""

from collections.abc import Sequence

from console.ground.cleaning import as_sentence, clean
from console.ground.errors import BaywrightError
from console.ground.mass import MassError, parse_mass_g
from console.yard.yard import Bay, Yard


class DeskRefusal(BaywrightError):  # noqa: N818 - not a fault of the program
    """The act cannot be done now; the message says why and what would be right. Nothing was written."""


class NeedsReason(DeskRefusal):
    """The act can be done with a reason; the message says why it needs one."""


def refuse_unclear(problems: Sequence[str]) -> None:
    """Refuse a line that is not clear, as a sentence of its own.

    Args:
        problems: What is wrong with it, the way out first; none for a clear one.

    Raises:
        DeskRefusal: There is a problem.
    """
    if problems:
        raise DeskRefusal(as_sentence(problems[0]))


def mass_typed(text: str, yard: Yard, *, may_be_zero: bool = False) -> int:
    """Return a weight as typed [g], in the yard's unit unless it names one.

    Raises:
        DeskRefusal: It cannot be read.
    """
    try:
        return parse_mass_g(text, yard.weight_unit, may_be_zero=may_be_zero)
    except MassError as error:
        raise DeskRefusal(str(error)) from error


def known_bay(code: str, yard: Yard) -> Bay:
    """Return a bay by its code.

    Raises:
        DeskRefusal: It is not in yard.toml.
    """
    try:
        return yard.bay(code)
    except KeyError as error:
        raise DeskRefusal(str(error.args[0])) from error


def known_person(name: str, yard: Yard) -> str:
    """Return a person of the yard by name, case-blind.

    Raises:
        DeskRefusal: Nobody of that name works there.
    """
    for person in yard.people:
        if person.casefold() == name.strip().casefold():
            return person
    raise DeskRefusal(f'"{clean(name)}" is not in yard.toml. People there: {", ".join(yard.people)}.')
