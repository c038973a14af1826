"""The sorter's desk: the piece at hand and what may be done with it. Knows no widget.

The one door to the ledger, for the screens, the commands and the tests alike. A name is imported when it is
first asked for: a command that only reads the yard does not wait for the whole desk.
"""

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from console.desk.bays.bay_book import BayBook as BayBook
    from console.desk.bays.downgrading import downgrade as downgrade
    from console.desk.bays.room_told import room_told as room_told
    from console.desk.checking import controls_of as controls_of
    from console.desk.checking import never_shot as never_shot
    from console.desk.checking import shoot_check as shoot_check
    from console.desk.closing import handover_of as handover_of
    from console.desk.desk import Desk as Desk
    from console.desk.done import Done as Done
    from console.desk.piece.advising import next_step as next_step
    from console.desk.piece.considering import Consideration as Consideration
    from console.desk.piece.considering import consider_facts as consider_facts
    from console.desk.piece.considering import consider_line as consider_line
    from console.desk.piece.known import Known as Known
    from console.desk.piece.known import load_yard_and_library as load_yard_and_library
    from console.desk.piece.known import open_yardless as open_yardless
    from console.desk.piece.learning import learned_of as learned_of
    from console.desk.refusals import DeskRefusal as DeskRefusal

_HOMES = {
    "learned_of": "piece.learning",
    "downgrade": "bays.downgrading",
    "shoot_check": "checking",
    "never_shot": "checking",
    "controls_of": "checking",
    "BayBook": "bays.bay_book",
    "room_told": "bays.room_told",
    "handover_of": "closing",
    "Desk": "desk",
    "Done": "done",
    "next_step": "piece.advising",
    "Consideration": "piece.considering",
    "consider_facts": "piece.considering",
    "consider_line": "piece.considering",
    "Known": "piece.known",
    "load_yard_and_library": "piece.known",
    "open_yardless": "piece.known",
    "DeskRefusal": "refusals",
}
"""Name that is offered here -> the module of the desk that it comes from."""


def __getattr__(name: str) -> object:
    """Return what is offered by that name, from the module where it stands."""
    if name not in _HOMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f"{__name__}.{_HOMES[name]}"), name)
