"""Tickets, close-out and handover of a run."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from console.desk.checking import controls_of
from console.desk.done import Done, done
from console.desk.refusals import DeskRefusal, known_person, mass_typed
from console.desk.sheets import free_sheets, sheets_of_an_act, write_or_refuse
from console.desk.ticket_line import TicketTyped
from console.entry.load_words import LoadTyped
from console.ground.cleaning import clean
from console.ground.dates import local
from console.ground.figures import many
from console.ground.mass import as_fraction, format_mass, is_number
from console.ledger.acts.closeout import (
    Difference,
    LoadDifference,
    difference,
    differences_by_load,
    readings_of,
)
from console.ledger.consignments.consignment import State
from console.ledger.consignments.standing import consignments
from console.ledger.keeping.chain_look import Seen, chain_verdict
from console.ledger.rows.clock_steps import step_text
from console.ledger.rows.connection import LedgerSource
from console.ledger.rows.lot_rows import lots_of
from console.ledger.rows.queries import kept_evidence, rows_where
from console.ledger.rows.rows import RowKind, Tally
from console.ledger.rows.trouble import told_plainly
from console.ledger.views.lying import lying_now
from console.ledger.views.piece_state import (
    piece_states,
    pieces_weighed_otherwise,
    remarkable_pieces,
    waiting_pieces,
)
from console.ledger.views.tally import tally
from console.reports.check_text import control_sentence
from console.reports.closing.bay_watch import bay_watch
from console.reports.closing.bay_worth import worth_by_bay
from console.reports.closing.handover import handover
from console.reports.closing.handover_report import HandoverReport
from console.reports.closing.handover_text import as_text
from console.reports.closing.totals_text import text_of_totals
from console.yard.chemistry.composition import BaySums
from console.yard.lots.lot_words import progress_words
from console.yard.lots.uniform_lot import LotState
from console.yard.yard import Yard

if TYPE_CHECKING:
    from console.desk.desk import Desk


def _moisture_pct(text: str) -> float:
    if not text.strip():
        return 0.0
    figure = text.strip().rstrip("%").strip()
    if not is_number(figure):
        raise DeskRefusal(f'Moisture "{clean(text)}" is no percentage: a number from 0 to below 100.')
    return float(as_fraction(figure))


def handover_of(
    source: LedgerSource,
    run_id: str,
    yard: Yard,
    at: datetime,
    bay_sums: Mapping[str, BaySums],
    *,
    seen: Seen | None = None,
) -> HandoverReport:
    """Return the handover of a run as its rows tell it now; times are shown in the zone of this computer.

    Args:
        source: The ledger or a reader.
        run_id: The run.
        yard: Its bays, scales and check samples.
        at: Now, aware.
        bay_sums: What lies in the bays, by their codes: the sums of a BayBook.
        seen: Up to where this sitting has looked along the chain; None looks at every row.
    """
    sums = tally(source, run_id)
    report = handover(
        sums,
        remarkable_pieces(source, run_id),
        yard,
        run_difference(source, sums, yard),
        local(at),
        earlier_holds=waiting_pieces(source),
        loads=loads_of(source, run_id, yard),
        bay_watch=bay_watch(yard, lying_now(source), bay_sums),
        checks=[control_sentence(control) for control in controls_of(source, yard, at)],
        unfinished=unfinished(source, run_id, yard.weight_unit),
        remarks=signed_remarks(source, run_id),
        suggested=lambda row_id: _suggested(source, row_id),
        worth=worth_by_bay(source, run_id, yard),
    )
    return replace(report, verified=chain_verdict(source, seen))


def unfinished(source: LedgerSource, run_id: str, unit: str) -> list[str]:
    """Return the lots of a run whose checks go on, and every consignment that has not left, one by one."""
    lots = [
        f"{lot.lot_id}, said to be {lot.said}: {progress_words(lot)}"
        for lot in lots_of(source, run_id).values()
        if lot.state is LotState.GO_ON
    ]
    return lots + [
        f"consignment {one.tag} for {one.buyer} {one.order}, {one.state.value}: "
        f"{many(len(one.parts), 'part', 'parts')}, {format_mass(one.net_g, unit)}"
        for one in consignments(source).values()
        if one.state is not State.SENT
    ]


def run_difference(source: LedgerSource, sums: Tally, yard: Yard) -> Difference:
    """Return the tally of a run against its tickets, each entry by the scale that weighed it."""
    otherwise = pieces_weighed_otherwise(source, sums.run.run_id)
    return difference(sums, yard, readings=readings_of(sums.entries, otherwise))


def _suggested(source: LedgerSource, row_id: str) -> str:
    placement = kept_evidence(source, row_id).get("placement")
    return str(placement.get("bay", "")) if isinstance(placement, dict) else ""


def loads_of(source: LedgerSource, run_id: str, yard: Yard) -> list[LoadDifference]:
    """Return every load of a run against its own tickets; one without a name where none is named."""
    sums = tally(source, run_id)
    if not any(ticket.load or ticket.supplier for ticket in sums.tickets) and not _names_loads(
        source, run_id
    ):
        return [LoadDifference(supplier="", load="", difference=run_difference(source, sums, yard))]
    return differences_by_load(sums.tickets, piece_states(source, run_id), yard)


def _names_loads(source: LedgerSource, run_id: str) -> bool:
    """Return whether any piece of a run names its load; spares reading all of them where none does."""
    with told_plainly(source.path):
        named = source.connection.execute(
            "SELECT 1 FROM ledger WHERE run_id = ? AND kind IN ('piece', 'load') "
            "AND (instr(body, '\"load\":') OR instr(body, '\"supplier\":')) LIMIT 1",
            (run_id,),
        ).fetchone()
    return named is not None


def signed_remarks(source: LedgerSource, run_id: str) -> list[str]:
    """Return what the close-out of a run says of its holds and who signed it, one sentence each."""
    said = []
    for row in rows_where(source, "run_id = ? AND kind = 'close'", (run_id,)):
        figures = row.body.get("figures", {})
        for tag, words in figures.get("signed_for", {}).items():
            said.append(f"{tag} is signed for by {row.person}: {words}")
    for row in rows_where(source, "run_id = ? AND kind IN ('clock', 'consent', 'office')", (run_id,)):
        if row.kind is RowKind.OFFICE:
            said.append(f"row {row.seq}: word {row.body['number']} of the office was taken")
        elif row.kind is RowKind.CLOCK:
            said.append(
                f"row {row.seq}: the clock was set {step_text(timedelta(seconds=row.body['step_s']))}"
            )
        else:
            said += [f"row {row.seq}: {row.person} went on though: {doubt}" for doubt in row.body["doubts"]]
    return said


class Closing:
    """The open run against its tickets, and its end."""

    def __init__(self, desk: "Desk") -> None:
        self._desk = desk
        self.why_not = ""
        """Why no run can be closed here; empty where one can."""

    def difference(self) -> Difference:
        """Return the tally of the open run against its tickets."""
        return run_difference(self._desk.ledger, self._desk.sums(), self._desk.yard)

    def loads(self) -> list[LoadDifference]:
        """Return every load of the open run against its own tickets."""
        return loads_of(self._desk.ledger, self._desk.run().run_id, self._desk.yard)

    def words_wanted(self) -> str:
        """Return what must be explained before the run may close, a sentence; empty where nothing must.

        That is a missing ticket, and a difference outside its tolerance: of the whole run, or of one load
        where loads are kept apart, since two loads can make up for each other.
        """
        sums, yard = self._desk.sums(), self._desk.yard
        if not sums.tickets:
            no_ticket = "Enter gross and tare, or say in words why there is no ticket: none was entered."
            return no_ticket if sums.pieces else ""
        gap = self.difference()
        if not gap.is_inside:
            return _outside("The difference", gap, yard)
        for one in self.loads():
            if one.difference.has_ticket and not one.difference.is_inside:
                name = clean(" ".join(word for word in (one.supplier, one.load) if word)) or "no load named"
                return _outside(f"Load {name}: the difference", one.difference, yard)
        return ""

    def add_ticket(self, typed: TicketTyped) -> Done[None]:
        """Add a scale ticket; a load without a supplier is that of the only one who is known with it.

        Raises:
            DeskRefusal: A weight or the moisture cannot be read.
            LedgerRefusal: Gross is not above tare, or the deduction takes all of it.
        """
        desk, yard = self._desk, self._desk.yard
        said = LoadTyped(supplier=typed.supplier or None, load=typed.load or None)
        supplier, load = desk.loads.after(said, "", "")
        dirt_g = mass_typed(typed.dirt or "0", yard, may_be_zero=True)
        row = desk.ledger.ticket(
            mass_typed(typed.gross, yard),
            mass_typed(typed.tare or "0", yard, may_be_zero=True),
            desk.person,
            note=clean(typed.note),
            moisture_pct=_moisture_pct(typed.moisture),
            dirt_g=dirt_g,
            load=clean(load).strip(),
            supplier=clean(supplier).strip(),
            unit=yard.weight_unit,
        )
        desk.history.record(row)
        whose = f", {supplier} {load}".rstrip(", ")
        return done(f"ticket added: {typed.gross} gross, {typed.tare} tare{whose}", row)

    def handover_so_far(self) -> str:
        """Return the handover of the open run as it would be written now."""
        return as_text(self._report())

    def totals(self, width: int) -> str:
        """Return what the open run came to so far, on one page of that width, at least 60 columns."""
        return text_of_totals(self._report(), width)

    def _report(self) -> HandoverReport:
        desk = self._desk
        return handover_of(
            desk.ledger,
            desk.run().run_id,
            desk.yard,
            desk.now(),
            desk.bays.book.sums(),
            seen=desk.ledger.chain_seen,
        )

    def close_run(
        self,
        explanation: str = "",
        *,
        signed_by: str | None = None,
        signed_for: Mapping[str, str] | None = None,
    ) -> Done[Path]:
        """Close the run and write the handover into the yard's folder: the file is what was made.

        Args:
            explanation: What is said about a difference outside its tolerance, or a missing ticket.
            signed_by: Who signs, a person of the yard; None for who works the run.
            signed_for: Tag -> why a piece may stay on hold as it is; the others are carried over.

        Raises:
            DeskRefusal: No ticket, or a difference outside the tolerance, and no explanation; a signer that
                nobody knows; a tag that does not wait; or the handover cannot be written.
        """
        desk, run = self._desk, self._desk.run()
        if self.why_not:
            raise DeskRefusal(self.why_not)
        person = known_person(signed_by, desk.yard) if signed_by else run.person
        if not explanation.strip() and (wanted := self.words_wanted()):
            raise DeskRefusal(wanted)
        figures = {**self.difference().as_figures(), "signed_by": person}
        if signed_for:
            figures["signed_for"] = _signed_for(signed_for, [piece.tag for piece in desk.sums().holds])
        (file,) = free_sheets(desk.yard.folder, "handover", run.run_id, (".txt",))
        now, bay_sums = desk.now(), desk.bays.book.sums()
        # The run counts as closed once its handover is on the disk.
        with sheets_of_an_act(file), desk.ledger.act():
            row = desk.ledger.close_run(person, explanation=clean(explanation), figures=figures)
            report = handover_of(
                desk.ledger, run.run_id, desk.yard, now, bay_sums, seen=desk.ledger.chain_seen
            )
            write_or_refuse(file, as_text(report) + "\n", "The run is still open.")
        said = f"run {run.run_id} closed; its handover is in {file.name}"
        return Done(sentence=said, rows=(row,), made=file)


def _signed_for(signed: Mapping[str, str], waiting: Sequence[str | None]) -> dict[str, str]:
    for tag, words in signed.items():
        if tag not in waiting:
            raise DeskRefusal(f"{clean(tag)} does not wait on hold in this run; nothing to sign for.")
        if not words.strip():
            raise DeskRefusal(f"Say in a few words why {tag} may stay as it is.")
    return {tag: clean(words) for tag, words in signed.items()}


def _outside(what: str, gap: Difference, yard: Yard) -> str:
    off, allowed = (format_mass(g, yard.weight_unit) for g in (gap.difference_g, gap.tolerance_g))
    return (
        f"Explain it in words, or mend a ticket or a piece. {what} of {off} is outside the tolerance of "
        f"{allowed}."
    )
