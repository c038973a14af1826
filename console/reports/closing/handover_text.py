"""Lays a handover out: plain text in columns, or a page of HTML that needs nothing else and prints well."""

from collections.abc import Iterable, Iterator
from datetime import datetime, tzinfo
from itertools import chain

from console.ground.cleaning import clean
from console.ground.figures import NO_NAME
from console.ground.mass import format_mass, masses_alike
from console.ledger.rows.rows import Ticket
from console.reports.closing.handover_report import MOST_HOLDS, HandoverReport, HoldLine, PieceLines
from console.reports.columns import Columns, dated, folded, headed, joined, left
from console.reports.page import page

_CODE = 5
_FIGURES, _WORTH = (8, 16, 9), 15
"""Columns of pieces, weight and share, and of the worth."""
NO_TICKET = "No ticket was entered, so the tally was compared with nothing."
_HASH_SHOWN = 16
"""Hex digits: enough that nobody can make another row with the same beginning."""
_TAG = 9
_UNDER_TAG = " " * _TAG


def as_text(report: HandoverReport, width: int = 78) -> str:
    """Return the handover as plain text for any printer; no line is wider than the width, at least 60."""
    parts = (
        _head(report, width),
        bay_lines(report, width),
        _holds("ON HOLD", report.holds, report, width),
        _holds("STILL ON HOLD FROM EARLIER RUNS", report.earlier_holds, report, width),
        _texts("WATCH", (*_watched(report), *report.remarks), width),
        _texts("CHECK SAMPLES", report.checks, width),
        _texts("NOT FINISHED", report.unfinished, width),
        _tickets(report, width),
        _texts("LOAD BY LOAD", _loads(report), width),
        _texts("NOTES", report.notes, width),
        _pieces("NOTES ON PIECES", report.piece_notes, report, width),
        _pieces("BAYS CHOSEN BESIDE THE ADVICE", report.overrides, report, width),
        _pieces("CORRECTIONS", report.corrections, report, width),
        _draw_downs(report, width),
        ("", f"Ledger at row {report.sums.last_seq}, hash {report.sums.last_hash[:_HASH_SHOWN]}"),
        folded(report.verified, width),
    )
    return joined(chain.from_iterable(parts)).rstrip() + "\n"


def as_html(report: HandoverReport) -> str:
    """Return the handover as a self-contained HTML page; its text is shown as text, whatever it holds."""
    most_g = max((bay.mass_g for bay in report.bays), default=0)
    return page("handover.html.jinja", report=report, most_g=most_g, most_holds=MOST_HOLDS)


def text_of_what_is_left(report: HandoverReport, width: int) -> str:
    """Return what whoever takes over must have seen, out of the handover of a run."""
    parts = (
        _closed(report, width),
        _holds("ON HOLD", (*report.earlier_holds, *report.holds), report, width),
        _texts("NOTES", report.notes, width),
        _texts("NOT FINISHED", report.unfinished, width),
        _texts("CHECK SAMPLES", report.checks, width),
        _texts("WATCH", (*_watched(report), *report.remarks), width),
    )
    return joined(chain.from_iterable(parts)).rstrip() + "\n"


def _closed(report: HandoverReport, width: int) -> Iterator[str]:
    """Yield who closed the run, and with what difference; of an open one who worked it."""
    run, zone = report.sums.run, report.made_at.tzinfo
    if not run.is_closed or run.closed_utc is None:
        workers = ", then ".join(report.workers)
        yield from folded(f"Run {run.run_id} goes on, worked by {workers}.", width)
        return
    signed = f"closed {_time(run.closed_utc, zone)}, signed by {clean(run.closed_by or '')}"
    yield from folded(f"Run {run.run_id} was {signed}.", width)
    yield from compared(report, width)
    if run.explanation:
        yield from folded(f"Explanation: {clean(run.explanation)}", width)


def compared(report: HandoverReport, width: int) -> Iterator[str]:
    """Yield how the tally stands against the tickets, in a sentence."""
    gap = report.difference
    if gap.has_ticket:
        off, most = (format_mass(grams, report.unit) for grams in (gap.difference_g, gap.tolerance_g))
        verdict = "inside" if gap.is_inside else "OUTSIDE"
        yield from folded(f"Difference against the tickets {off}, {verdict} the tolerance of {most}.", width)
    else:
        yield NO_TICKET


def _head(report: HandoverReport, width: int) -> Iterator[str]:
    """Yield what run this is, of which yard, and who worked it."""
    zone = report.made_at.tzinfo
    run = report.sums.run
    yield from dated(f"HANDOVER  run {run.run_id}", report.made_at, width)
    yield from folded(
        f"{report.yard_name}. Opened {_time(run.opened_utc, zone)} by {clean(run.opened_by)}.", width
    )
    if len(report.workers) > 1:
        yield from folded(f"Worked by {', then '.join(report.workers)}.", width)
    if run.is_closed and run.closed_utc:
        yield from folded(
            f"Closed {_time(run.closed_utc, zone)}, signed by {clean(run.closed_by or '')}.", width
        )
    else:
        yield f"Still open, worked by {clean(run.person)}."


def bay_lines(report: HandoverReport, width: int) -> Iterator[str]:
    """Yield count, weight, share and, where the yard shows money, worth of every bay, and the total."""
    worth = "" if report.worth_cents is None else f"worth {report.currency}"
    row = Columns(width, (*_FIGURES, _WORTH if worth else 0)).row
    yield from headed(row("BAYS", "pieces", "weight", "share", worth), width)
    *masses, total = masses_alike([*(bay.mass_g for bay in report.bays), report.sums.mass_g], report.unit)
    for bay, mass in zip(report.bays, masses, strict=True):
        name, share = f"{left(bay.code, _CODE)} {bay.name}", f"{bay.share:.1%}"
        yield row(name, str(bay.pieces), mass, share, cents_or_blank(bay.worth_cents))
    if not report.bays:
        yield "nothing tallied"
    yield "-" * width
    yield row("total", str(report.sums.pieces), total, "", cents_or_blank(report.worth_cents))


def cents_or_blank(cents: int | None) -> str:
    """Return a worth with two decimals, empty where there is none."""
    return "" if cents is None else f"{cents / 100:.2f}"


def _holds(title: str, holds: tuple[HoldLine, ...], report: HandoverReport, width: int) -> Iterator[str]:
    """Yield every piece on hold with its tag and what it waits for."""
    if not holds and title != "ON HOLD":
        return
    yield from headed(f"{title} ({len(holds)})", width)
    for hold in holds[-MOST_HOLDS:]:
        count = f", {hold.pieces} pieces" if hold.pieces > 1 else ""
        # What the sorter typed as the reason stands on the line below.
        waits = "" if hold.waits_for in hold.line else f" Waits for: {hold.waits_for}"
        weight = format_mass(hold.mass_g, report.unit)
        named = hold.likeliest if hold.likeliest == NO_NAME else f"likeliest {hold.likeliest}"
        yield from folded(
            f"{weight}{count} in {hold.bay}, {named}.{waits}",
            width,
            first=left(hold.tag, _TAG),
            indent=_UNDER_TAG,
        )
        typed = f'"{hold.line}" ({hold.person}, {hold.at:%m-%d %H:%M})'
        yield from folded(typed, width, first=_UNDER_TAG, indent=_UNDER_TAG)
    if older := holds[:-MOST_HOLDS]:
        tags = ", ".join(hold.tag for hold in older)
        yield from folded(f"older ones, {len(older)}: {tags}. The review shows what each waits for.", width)
    if not holds:
        yield "none"


def _tickets(report: HandoverReport, width: int) -> Iterator[str]:
    """Yield the tickets, the difference against the tally, and what was said about it."""
    yield from headed("SCALE TICKETS AND DIFFERENCE", width)
    for number, ticket in enumerate(report.sums.tickets, start=1):
        yield from folded(f"{number}. {_ticket(ticket, report.unit)}", width, indent="   ")
    gap = report.difference
    if not gap.has_ticket:
        yield NO_TICKET
    else:
        verdict = "inside" if gap.is_inside else "OUTSIDE"
        masses = (gap.tally_g, gap.net_g, gap.difference_g, gap.tolerance_g)
        row = Columns(42, (16,)).row
        labels = ("tally", "tickets, clean", "difference", "tolerance, either way")
        for label, mass in zip(labels, masses_alike(masses, report.unit), strict=True):
            yield row(label, mass) + (f"  {verdict}" if label == "difference" else "")
    if report.sums.run.explanation:
        yield from folded(f"Explanation: {clean(report.sums.run.explanation)}", width, indent="  ")


def _ticket(ticket: Ticket, unit: str) -> str:
    words = [f"gross {format_mass(ticket.gross_g, unit)}, tare {format_mass(ticket.tare_g, unit)}"]
    words.append(f"net {format_mass(ticket.net_g, unit)}")
    if ticket.dirt_g:
        words.append(f"dirt {format_mass(ticket.dirt_g, unit)}")
    if ticket.moisture_pct:
        words.append(f"moisture {ticket.moisture_pct:g} %")
    if ticket.deduction_g:
        words.append(f"clean {format_mass(ticket.clean_g, unit)}")
    said = [clean(text) for text in (ticket.supplier, ticket.load, ticket.note) if text]
    return ", ".join(words) + (f" ({'; '.join(said)})" if said else "")


def _watched(report: HandoverReport) -> Iterator[str]:
    """Yield the bays that are full or nearly, or near a limit of their buyer."""
    for bay in report.bay_watch:
        yield f"{bay.code} {bay.name} {bay.said}"


def _loads(report: HandoverReport) -> Iterator[str]:
    for one in report.loads:
        name = clean(" ".join(word for word in (one.supplier, one.load) if word)) or "no load named"
        gap = one.difference
        tallied = f"{name}: tally {format_mass(gap.tally_g, report.unit)}"
        if not gap.has_ticket:
            yield f"{tallied}, no ticket"
            continue
        verdict = "inside" if gap.is_inside else "OUTSIDE"
        off, most = format_mass(gap.difference_g, report.unit), format_mass(gap.tolerance_g, report.unit)
        yield f"{tallied}, clean {format_mass(gap.net_g, report.unit)}, difference {off} {verdict} {most}"


def _texts(title: str, texts: Iterable[str], width: int) -> Iterator[str]:
    """Yield free texts, one paragraph each."""
    texts = list(texts)
    if not texts:
        return
    yield from headed(title, width)
    for text in texts:
        yield from folded(f"- {text}", width, indent="  ")


def _pieces(title: str, pieces: PieceLines, report: HandoverReport, width: int) -> Iterator[str]:
    if not pieces.count:
        return
    yield from headed(f"{title} ({pieces.counted})", width)
    for piece in pieces.shown:
        late = " CORRECTED AFTER CLOSE-OUT" if piece.is_late else ""
        instead = f", chosen by {piece.person}; advice was {piece.suggested}" if piece.suggested else ""
        weight = format_mass(piece.mass_g, report.unit)
        yield from folded(
            f'{piece.at:%H:%M} {piece.bay}{instead} {weight} "{piece.line}"{late}',
            width,
            indent="  ",
        )
        for said in piece.said:
            yield from folded(said, width, first="  ", indent="    ")


def _draw_downs(report: HandoverReport, width: int) -> Iterator[str]:
    """Yield what was taken out of the bays."""
    zone = report.made_at.tzinfo
    texts = (
        f"{one.at_utc.astimezone(zone):%m-%d %H:%M} {clean(one.bay)} {format_mass(one.mass_g, report.unit)} "
        f"by {clean(one.person)}{f', bale {clean(one.tag)}' if one.tag else ''}. {clean(one.reason)}"
        for one in report.sums.draw_downs
    )
    yield from _texts("TAKEN OUT OF THE BAYS", texts, width)


def _time(at: datetime, zone: tzinfo | None) -> str:
    """Return a time in the report's zone."""
    return f"{at.astimezone(zone):%Y-%m-%d %H:%M}"
