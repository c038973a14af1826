"""What the next sorter must know of a run."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import datetime
from typing import Any

from console.ground.cleaning import clean
from console.ground.figures import NO_NAME
from console.ledger.acts.closeout import Difference, LoadDifference
from console.ledger.rows.rows import PieceState, Tally
from console.reports.closing.bay_watch import BayWatch
from console.reports.closing.handover_report import BayLine, HandoverReport, HoldLine, PieceLine, PieceLines
from console.yard.yard import Yard

_WAITS_FOR = {True: "somebody who can name it", False: "a check that settles it"}
MOST_PIECES = 10
"""Pieces shown under one title: the handover is one page; our own choice."""


def handover(
    tally: Tally,
    pieces: Sequence[PieceState],
    yard: Yard,
    difference: Difference,
    now: datetime,
    *,
    earlier_holds: Sequence[PieceState] = (),
    loads: Sequence[LoadDifference] = (),
    bay_watch: Sequence[BayWatch] = (),
    checks: Sequence[str] = (),
    unfinished: Sequence[str] = (),
    remarks: Sequence[str] = (),
    suggested: Callable[[str], str] = lambda _: "",
    worth: Mapping[str, int] | None = None,
) -> HandoverReport:
    """Return the handover of a run.

    Args:
        tally, pieces: Sums of the run; its pieces that were corrected, overridden or noted, or all.
        yard, difference: Names the bays and the unit; the tally against the tickets.
        now: When it is made, aware; every time is shown in its zone.
        earlier_holds: Pieces on hold of all runs; those of this run are passed over.
        loads: Each against its own tickets; passed over where none has a name.
        bay_watch: What is to be watched in the bays.
        checks, unfinished, remarks: Check samples; what was not ended; what else to watch. Paragraphs.
        suggested: row_id of a piece -> bay that was suggested; asked only for pieces that are shown.
        worth: Of the run's pieces in a bay, by its code [hundredths of the currency].
    """
    return HandoverReport(
        made_at=now,
        earlier_holds=_hold_lines((p for p in earlier_holds if p.run_id != tally.run.run_id), now),
        difference=difference,
        loads=tuple(loads) if any(one.load or one.supplier for one in loads) else (),
        bay_watch=tuple(bay_watch),
        checks=tuple(map(clean, checks)),
        unfinished=tuple(map(clean, unfinished)),
        remarks=tuple(map(clean, remarks)),
        **_said_of_run(tally, yard, now, worth or {}),
        **_said_of_pieces(pieces, now, suggested, yard.weight_unit),
    )


def _said_of_run(tally: Tally, yard: Yard, now: datetime, worth: Mapping[str, int]) -> dict[str, Any]:
    """Return what the sums of the run say by themselves, in the yard's names and unit."""
    return {
        "yard_name": clean(yard.name),
        "unit": yard.weight_unit,
        "currency": clean(yard.currency),
        "sums": tally,
        "workers": tuple(map(clean, dict.fromkeys(tally.take_overs or (tally.run.opened_by,)))),
        "bays": _bay_lines(tally, yard, worth),
        "holds": _hold_lines(tally.holds, now),
        "notes": tuple(map(clean, tally.notes)),
    }


def _bay_lines(tally: Tally, yard: Yard, worth: Mapping[str, int]) -> tuple[BayLine, ...]:
    """Return a line for every bay that took something in, in the order of yard.toml, strange ones last."""
    order = {bay.code: place for place, bay in enumerate(yard.bays)}
    totals = sorted(tally.bays, key=lambda total: order.get(total.bay, len(order)))
    known = [(total, yard.bay_if_known(total.bay)) for total in totals]
    return tuple(
        BayLine(
            code=clean(total.bay),
            name=clean(bay.name) if bay else "not in yard.toml any more",
            pieces=total.pieces,
            mass_g=total.mass_g,
            share=total.mass_g / tally.mass_g if tally.mass_g else 0.0,
            worth_cents=worth.get(total.bay),
            is_hold=bay is not None and bay.is_hold,
            bale_g=bay.bale_g if bay else None,
        )
        for total, bay in known
    )


def _said_of_pieces(
    pieces: Sequence[PieceState], now: datetime, suggested: Callable[[str], str], unit: str
) -> dict[str, Any]:
    """Return the parts of the report that are about single pieces, by their names there."""
    standing = [piece for piece in pieces if not piece.is_void]
    noted = [piece for piece in standing if piece.note and not piece.is_held and not piece.is_override]
    overridden = [piece for piece in standing if piece.is_override]
    corrected = [piece for piece in pieces if piece.corrections]
    return {
        "piece_notes": PieceLines(
            shown=tuple(_piece_line(piece, now, piece.note) for piece in _telling(noted)), count=len(noted)
        ),
        "overrides": PieceLines(
            shown=tuple(
                _piece_line(piece, now, piece.note or "no reason given", suggested=suggested(piece.row_id))
                for piece in _telling(overridden)
            ),
            count=len(overridden),
        ),
        "corrections": PieceLines(
            shown=tuple(
                _piece_line(piece, now, *(one.said(unit) for one in piece.corrections))
                for piece in _telling(corrected)
            ),
            count=len(corrected),
        ),
    }


def _telling(pieces: Sequence[PieceState]) -> list[PieceState]:
    """Return as many pieces as a page holds, oldest first: the late ones, then the newest."""
    shown = sorted(pieces, key=lambda piece: (piece.is_corrected_late, piece.seq))[-MOST_PIECES:]
    return sorted(shown, key=lambda piece: piece.seq)


def _hold_lines(pieces: Iterable[PieceState], now: datetime) -> tuple[HoldLine, ...]:
    return tuple(
        HoldLine(
            tag=clean(piece.tag or "no tag"),
            bay=clean(piece.bay),
            run_id=piece.run_id,
            mass_g=piece.mass_g,
            pieces=piece.pieces,
            likeliest=piece.class_label or NO_NAME,
            waits_for=clean(piece.waits_for or _WAITS_FOR[piece.grade_id is None]),
            line=clean(piece.line),
            person=clean(piece.person),
            at=piece.at_utc.astimezone(now.tzinfo),
        )
        for piece in pieces
    )


def _piece_line(piece: PieceState, now: datetime, *said: str, suggested: str = "") -> PieceLine:
    return PieceLine(
        at=piece.at_utc.astimezone(now.tzinfo),
        bay=clean(piece.bay),
        mass_g=piece.mass_g,
        line=clean(piece.line),
        person=clean(piece.person),
        # A note stands on the line already where it was typed there.
        said=tuple(clean(text) for text in said if text not in piece.line),
        is_late=piece.is_corrected_late,
        suggested=clean(suggested),
    )
