"""What the pieces of a run are worth, bay by bay, at the prices of their day."""

from collections import Counter
from collections.abc import Mapping

from console.ledger.prices.price_rows import price_book
from console.ledger.rows.connection import LedgerSource, one_view
from console.ledger.views.piece_state import piece_states
from console.reports.paperwork.office_report import priced
from console.yard.yard import Yard


def worth_by_bay(source: LedgerSource, run_id: str, yard: Yard) -> Mapping[str, int]:
    """Return the worth of what stands in each bay [hundredths of the currency], by its code.

    Bays whose metal has no price, such as holds, are left out; a yard that hides money gets nothing.

    Args:
        source: The ledger or a reader.
        run_id: The run whose pieces are meant.
        yard: Its bays with their prices.
    """
    if not yard.show_money:
        return {}
    bays = {bay.code: bay for bay in yard.bays}
    worth: Counter[str] = Counter()
    with one_view(source):
        book = price_book(source, yard)
        for piece in piece_states(source, run_id):
            cents = priced(piece, bays, book.of_piece(piece), yard.currency, ()).cents
            if cents is not None and not piece.is_void:
                worth[piece.bay] += cents
    return worth
