"""What may be done to a consignment: each act one transaction, refused by name where it makes no sense."""

from collections.abc import Collection, Mapping, Sequence
from typing import Any

from console.ground.mass import format_mass
from console.ground.scanned import bare_tag
from console.ledger.acts.journal import Journal
from console.ledger.consignments.consignment import ACT, SHEET, TAG, Act, Consignment, Part, State
from console.ledger.consignments.standing import (
    NO_BALE,
    consignment_named,
    consignments,
    lies_in,
    never_changes,
    standing_bales,
)
from console.ledger.rows.errors import LedgerRefusal
from console.ledger.rows.queries import rows_where
from console.ledger.rows.rows import Row, RowKind
from console.ledger.rows.runs import OF_ALL_RUNS

NOT_IN_IT = "{part} does not lie in {tag}. In it: {known}."


class ConsignmentActs:
    """The acts on consignments. A sealed one takes no more than being sent and what the buyer found."""

    def __init__(self, journal: Journal) -> None:
        self._journal = journal

    def begin(self, buyer: str, order: str, person: str, *, together: str = "") -> Row:
        """Begin a consignment for an order of a buyer; its tag is T1-C1, T1-C2 ... never given twice.

        Args:
            buyer: Code.
            order: Code.
            person: Who begins it.
            together: The same for every row of one act on several consignments.

        Raises:
            LedgerRefusal: No run is open.
        """
        with self._journal.act():
            tag = f"{self._journal.terminal}-C{self._begun() + 1}"
            body = {"buyer": buyer, "order": order} | _of_act(together)
            return self._add(tag, Act.BEGIN, person, body)

    def put(
        self,
        tag: str,
        bales: Sequence[str],
        loose: Sequence[tuple[str, int]],
        person: str,
        *,
        despite: str = "",
        despite_of: Collection[str] = (),
        together: str = "",
    ) -> Row:
        """Put bales and boxes, and loose amounts of bays, into an open consignment, all or none.

        Args:
            tag: The consignment.
            bales: Tags.
            loose: Bay and weight [g], > 0; it leaves the bay when the consignment is sealed.
            person: Who puts them in.
            despite: Why, where the order refuses what may lie in a bay.
            despite_of: The bays whose metal it refuses: only their parts bear the reason.
            together: As `begin`.

        Raises:
            LedgerRefusal: No such bale, or it lies in a consignment already.
        """
        with self._journal.act():
            own = self._open(tag)
            parts = self._bales(own, bales)
            parts += [{"name": bay, "bay": bay, "mass_g": mass_g} for bay, mass_g in loose]
            said = {"despite": despite, "despite_of": sorted(despite_of)} if despite else {}
            return self._add(own.tag, Act.PUT, person, {"parts": parts} | said | _of_act(together))

    def _bales(self, own: Consignment, bales: Sequence[str]) -> list[dict[str, Any]]:
        """Return bales as parts, each of which lies in no consignment yet."""
        known = consignments(self._journal).values() if bales else ()
        held = {part.draw_down_id: one for one in known for part in one.parts}
        by_tag = standing_bales(self._journal) if bales else {}
        parts = []
        for bale in bales:
            drawn = by_tag.get(bare_tag(bale))
            if drawn is None:
                raise LedgerRefusal(NO_BALE.format(tag=bale))
            name = str(drawn.body["bale"])
            if (holder := held.get(drawn.row_id)) is not None:
                raise LedgerRefusal(lies_in(name, holder))
            held[drawn.row_id] = own
            parts.append({"draw_down": drawn.row_id, "name": name, "bay": drawn.bay, "mass_g": drawn.mass_g})
        return parts

    def take(self, tag: str, names: Sequence[str], person: str) -> Row:
        """Take parts out of an open consignment, all or none.

        Raises:
            LedgerRefusal: One does not lie in it.
        """
        with self._journal.act():
            own = self._open(tag)
            found: list[Part] = []
            for name in names:
                part = own.part_named(name, besides=found)
                if part is None:
                    known = ", ".join(one.name for one in own.parts) or "nothing"
                    raise LedgerRefusal(NOT_IN_IT.format(part=name, tag=own.tag, known=known))
                found.append(part)
            body = {"taken": [part.key for part in found], "names": [part.name for part in found]}
            return self._add(own.tag, Act.TAKE, person, body)

    def weigh(self, tag: str, gross_g: int, tare_g: int, person: str, *, unit: str) -> Row:
        """Say what an open consignment weighs as a whole on the truck scale [g].

        Raises:
            LedgerRefusal: The tare is not below the gross weight.
        """
        if not 0 <= tare_g < gross_g:
            weights = f"Gross {format_mass(gross_g, unit)} must be above tare {format_mass(tare_g, unit)}"
            raise LedgerRefusal(f"{weights}, and tare at least 0.")
        with self._journal.act():
            body = {"gross_g": gross_g, "tare_g": tare_g}
            return self._add(self._open(tag).tag, Act.WEIGH, person, body)

    def foreign(self, tag: str, foreign_g: int, of_g: int, person: str) -> Row:
        """Say how much foreign material was weighed out of a sample of an open consignment [g].

        Raises:
            LedgerRefusal: It weighs more than the sample.
        """
        if not 0 <= foreign_g < of_g:
            raise LedgerRefusal("Foreign material weighs less than the sample that it was sorted out of.")
        with self._journal.act():
            body = {"foreign_g": foreign_g, "of_g": of_g}
            return self._add(self._open(tag).tag, Act.FOREIGN, person, body)

    def tick(self, tag: str, criterion: str, person: str, *, is_met: bool, words: str = "") -> Row:
        """Say how an open consignment stands with a criterion that nobody can reckon."""
        with self._journal.act():
            body = {"criterion": criterion, "is_met": is_met, "words": words}
            return self._add(self._open(tag).tag, Act.TICK, person, body)

    def radiation(self, tag: str, person: str, *, measured: Mapping[str, str]) -> Row:
        """Add a measurement of radiation round an open consignment: instrument, background, highest, unit."""
        with self._journal.act():
            return self._add(self._open(tag).tag, Act.RADIATION, person, dict(measured))

    def seal(
        self, tag: str, person: str, *, sheet: Mapping[str, Any], drawn: Mapping[str, tuple[str, str]]
    ) -> Row:
        """Seal an open consignment: it never changes from here on.

        Args:
            tag: Which.
            person: Who seals it.
            sheet: Everything that its papers say, JSON-ready.
            drawn: Row of every loose part -> row and tag of the draw-down that it became.

        Raises:
            LedgerRefusal: It is empty.
        """
        with self._journal.act():
            own = self._open(tag)
            if not own.parts:
                raise LedgerRefusal(f"{own.tag} is empty; put a bale or a loose amount into it first.")
            body = {SHEET: dict(sheet), "drawn": {part: list(one) for part, one in drawn.items()}}
            return self._add(own.tag, Act.SEAL, person, body)

    def send(self, tag: str, person: str, *, vehicle: str) -> Row:
        """Say that a sealed consignment left.

        Raises:
            LedgerRefusal: It is open still, or left already.
        """
        with self._journal.act():
            own = consignment_named(self._journal, tag)
            if own.state is not State.SEALED:
                raise LedgerRefusal(
                    f"{own.tag} is open still; seal it first."
                    if own.state is State.OPEN
                    else f"{own.tag} was sent already."
                )
            return self._add(own.tag, Act.SEND, person, {"vehicle": vehicle})

    def found(self, tag: str, person: str, *, findings: Mapping[str, Any]) -> Row:
        """Add what the buyer found of a consignment that was sent.

        Raises:
            LedgerRefusal: It has not left yet.
        """
        with self._journal.act():
            own = consignment_named(self._journal, tag)
            if own.state is not State.SENT:
                raise LedgerRefusal(f"{own.tag} has not left yet ({own.state.value}): nobody found anything.")
            return self._add(own.tag, Act.FOUND, person, dict(findings))

    def _open(self, tag: str) -> Consignment:
        own = consignment_named(self._journal, tag)
        if own.sealed is not None:
            raise LedgerRefusal(never_changes(own.tag, own.sealed))
        return own

    def _begun(self) -> int:
        """Return how many consignments were begun here, those taken back too."""
        ours = f"kind = 'consignment' AND {OF_ALL_RUNS} AND json_extract(body, '$.act') = 'begin'"
        return len(rows_where(self._journal, f"{ours} AND terminal = ?", (self._journal.terminal,)))

    def _add(self, tag: str, act: Act, person: str, body: Mapping[str, Any]) -> Row:
        return self._journal.append(
            RowKind.CONSIGNMENT, person=person, body={TAG: tag, ACT: act.value, **body}
        )


def _of_act(together: str) -> dict[str, str]:
    return {"together": together} if together else {}
