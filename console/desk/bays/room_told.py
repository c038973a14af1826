"""What a piece costs of a bay's room, for commands that have no desk open."""

from console.desk.bays.bay_book import BayBook
from console.desk.piece.considering import Consideration
from console.desk.piece.known import STORE_FILE, Known
from console.ledger.rows.queries import LedgerReader
from console.yard.money import room_money


def room_told(considered: Consideration, known: Known) -> tuple[str, ...]:
    """Return what a piece would use up of the room of the bay it should go to; empty where that is little.

    Empty too without a yard, or where nothing was ever tallied in it.

    Raises:
        StoreError: The store cannot be read.
    """
    placement, yard = considered.placement, known.yard
    if yard is None or placement is None or not (yard.folder / STORE_FILE).is_file():
        return ()
    with LedgerReader.open(yard.folder / STORE_FILE) as reader:
        book = BayBook(reader, yard, known.library)
        book.read()
        return room_money(book.room_cost(considered, placement.bay), placement, yard)
