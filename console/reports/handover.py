"""What the next sorter must know of a run."""

from collections.abc import Sequence
from datetime import datetime

from console.entry.cleaning import clean
from console.ledger.closeout import Difference
from console.ledger.rows import PieceState, Tally
from console.reports.handover_report import BayLine, HandoverReport, HoldLine, PieceLine
from console.reports.handover_text import text_of_report
from console.yard.yard import Bay, Yard

__all__ = ["BayLine", "HandoverReport", "HoldLine", "PieceLine", "as_text", "handover"]


def handover(
    tally: Tally,
    pieces: Sequence[PieceState],
    yard: Yard,
    difference: Difference,
    now: datetime,
    *,
    earlier_holds: Sequence[PieceState] = (),
) -> HandoverReport:
    """Return the handover of a run.

    Args:
        tally: The sums of the run.
        pieces: Its pieces; those that were corrected, overridden or noted are enough.
        yard: Names the bays and the unit.
        difference: The tally against the tickets.
        now: When it is made, aware; its zone is that of every time in the report.
        earlier_holds: Pieces on hold of all runs; those of this run among them are passed over.
    """
    standing = [piece for piece in pieces if not piece.is_void]
    return HandoverReport(
        yard_name=clean(yard.name),
        unit=yard.weight_unit,
        made_at=now,
        run=tally.run,
        workers=tuple(clean(person) for person in dict.fromkeys(tally.take_overs or (tally.run.opened_by,))),
        bays=_bay_lines(tally, yard),
        pieces=tally.pieces,
        entries=tally.entries,
        mass_g=tally.mass_g,
        holds=tuple(_hold_line(piece, now) for piece in tally.holds),
        earlier_holds=tuple(
            _hold_line(piece, now) for piece in earlier_holds if piece.run_id != tally.run.run_id
        ),
        tickets=tally.tickets,
        difference=difference,
        notes=tuple(clean(note) for note in tally.notes),
        piece_notes=tuple(_piece_line(piece, now, piece.note) for piece in standing if piece.note),
        overrides=tuple(
            _piece_line(piece, now, piece.note or "no reason given")
            for piece in standing
            if piece.is_override
        ),
        corrections=tuple(
            _piece_line(piece, now, *piece.corrections) for piece in pieces if piece.corrections
        ),
        draw_downs=tally.draw_downs,
        last_seq=tally.last_seq,
        last_hash=tally.last_hash,
    )


def as_text(report: HandoverReport, width: int = 80) -> str:
    """Return the handover as plain text for any printer.

    Args:
        report: The handover.
        width: Columns that no line exceeds, at least 60.
    """
    return text_of_report(report, width)


def _bay_lines(tally: Tally, yard: Yard) -> tuple[BayLine, ...]:
    """Return a line for every bay that took something in, in the order of yard.toml, strange ones last."""
    known = {bay.code: bay for bay in yard.bays}
    order = {code: place for place, code in enumerate(known)}
    totals = sorted(tally.bays, key=lambda total: order.get(total.bay, len(order)))
    return tuple(
        BayLine(
            code=clean(total.bay),
            name=_bay_name(known.get(total.bay)),
            pieces=total.pieces,
            mass_g=total.mass_g,
            share=total.mass_g / tally.mass_g if tally.mass_g else 0.0,
            is_hold=total.bay in known and known[total.bay].is_hold,
            bale_g=known[total.bay].bale_g if total.bay in known else None,
        )
        for total in totals
    )


def _bay_name(bay: Bay | None) -> str:
    """Return the name of a bay, or that yard.toml has lost it since."""
    return "not in yard.toml any more" if bay is None else clean(bay.name)


def _hold_line(piece: PieceState, now: datetime) -> HoldLine:
    """Return the line of a piece on hold."""
    return HoldLine(
        tag=clean(piece.tag or "no tag"),
        run_id=piece.run_id,
        mass_g=piece.mass_g,
        pieces=piece.pieces,
        likeliest=clean(piece.grade_id or "no name"),
        waits_for=clean(piece.waits_for or piece.note or "somebody who can name it"),
        line=clean(piece.line),
        person=clean(piece.person),
        at=piece.at_utc.astimezone(now.tzinfo),
    )


def _piece_line(piece: PieceState, now: datetime, *said: str) -> PieceLine:
    """Return the line of a piece that something is said about."""
    return PieceLine(
        at=piece.at_utc.astimezone(now.tzinfo),
        bay=clean(piece.bay),
        mass_g=piece.mass_g,
        line=clean(piece.line),
        person=clean(piece.person),
        said=tuple(clean(text) for text in said),
        is_late=piece.is_corrected_late,
    )
