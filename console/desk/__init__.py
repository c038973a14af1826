"""The sorter's desk: the piece at hand and what may be done with it. Knows no widget.

The one door to the ledger, for the screens, the commands and the tests alike.
"""

from console.desk.closing import handover_of
from console.desk.desk import Desk
from console.desk.done import Done
from console.desk.piece.advising import next_step
from console.desk.piece.considering import Consideration, consider_facts, consider_line
from console.desk.piece.known import Known, load_yard_and_library, open_yardless
from console.desk.refusals import DeskRefusal

__all__ = [
    "Consideration",
    "Desk",
    "DeskRefusal",
    "Done",
    "Known",
    "consider_facts",
    "consider_line",
    "handover_of",
    "load_yard_and_library",
    "next_step",
    "open_yardless",
]
