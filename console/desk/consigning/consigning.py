"""Consignments at the desk: begin one for an order, put parts in, weigh, tick, seal, send."""

from collections.abc import Sequence
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING

from console.desk.consigning.at_hand import load_page
from console.desk.consigning.finding import finding_typed
from console.desk.consigning.papers import sheet_now, write_papers
from console.desk.consigning.sealing import WITH_REASON, seal
from console.desk.consigning.typed import loose_typed, order_typed, radiation_typed, tick_typed
from console.desk.done import Done
from console.desk.refusals import DeskRefusal, NeedsReason, mass_typed
from console.ground.cleaning import clean
from console.ground.dates import local
from console.ground.figures import many
from console.ground.mass import format_mass
from console.ground.scanned import bare_tag
from console.ledger.consignments.consignment import TAG, Consignment
from console.ledger.consignments.settled import FINDING, settled_loads
from console.ledger.consignments.sheet_of import order_of
from console.ledger.consignments.standing import consignment_named, consignments, standing_bales
from console.ledger.rows.rows import Row
from console.yard.loads.load_sheet import LoadSheet
from console.yard.loads.refusing import why_refused
from console.yard.loads.settling import REMARKABLE

if TYPE_CHECKING:
    from console.desk.desk import Desk

OVER = "Order {order} was taken until {until}."
NO_PARTS = "Name a bale by its tag, or a loose amount of a bay such as AXC=400kg."


class Consigning:
    """The consignments of the yard."""

    def __init__(self, desk: "Desk") -> None:
        self._desk = desk

    def all(self) -> list[Consignment]:
        """Return every consignment, oldest first."""
        return list(consignments(self._desk.ledger).values())

    def sheet(self, tag: str) -> LoadSheet:
        """Return a consignment as its papers would say it, from its seal where it has one.

        Raises:
            LedgerRefusal: There is none, or its order is gone from yard.toml.
        """
        desk = self._desk
        own = consignment_named(desk.ledger, tag)
        return sheet_now(desk.ledger, own, desk.yard, desk.bays.book)

    def page(self, tag: str, width: int) -> str:
        """Return a consignment for the screen; see at_hand.load_page."""
        return load_page(self._desk, tag, width)

    def papers(self, tag: str) -> Done[tuple[Path, ...]]:
        """Write every paper of a consignment into the yard's folder, all of them or none.

        Raises:
            DeskRefusal: The disk refused; nothing was written.
        """
        own = consignment_named(self._desk.ledger, tag)
        return write_papers(own, self.sheet(own.tag), self._desk.yard.folder)

    def begin(self, words: str) -> Done[Consignment]:
        """Begin a consignment for an order, named by its code, or by its buyer who has but one.

        Raises:
            DeskRefusal: No such order, or its last day is over.
        """
        desk = self._desk
        buyer, order = order_typed(desk.yard.buyers, words)
        if order.until is not None and local(desk.now()).date() > order.until:
            raise DeskRefusal(OVER.format(order=order.code, until=order.until))
        row = desk.ledger.consignments.begin(buyer.code, order.code, desk.person)
        return _told(self._desk, f"{_tag(row)} begun: {order.code} {order.name}, for {buyer.name}", row)

    def put(self, tag: str, typed: Sequence[str], despite: str = "") -> Done[Consignment]:
        """Put bales by their tags and loose amounts ("AXC=400kg", "AXC=all") in, all or none.

        Args:
            tag: The consignment.
            typed: One part each.
            despite: Why, where the order refuses what may lie in a bay.

        Raises:
            DeskRefusal: A bay or weight cannot be read, or the order refuses the metal, for no reason given.
            LedgerRefusal: It is sealed, a bale is not there, or lies in a consignment already.
        """
        desk, acts = self._desk, self._desk.ledger.consignments
        if not typed:
            raise DeskRefusal(NO_PARTS)
        reason = clean(despite).strip()
        own = consignment_named(desk.ledger, tag)
        _, order = order_of(own, desk.yard)
        loose = [loose_typed(desk, one) for one in typed if "=" in one]
        bales = [clean(one).strip() for one in typed if "=" not in one]
        with desk.ledger.act():
            drawn = standing_bales(desk.ledger) if bales else {}
            bays = [bay for bay, _ in loose]
            bays += [row.bay or "" for one in bales if (row := drawn.get(bare_tag(one)))]
            lets_in = {bay.code: bay for bay in desk.yard.bays}
            known = [lets_in[bay] for bay in dict.fromkeys(bays) if bay in lets_in]
            whys = {bay.code: why for bay in known if (why := why_refused(bay, order))}
            if whys and not reason:
                raise NeedsReason(WITH_REASON.format(why=next(iter(whys.values()))))
            said = reason if whys else ""
            row = acts.put(own.tag, bales, loose, desk.person, despite=said, despite_of=whys)
        mass_g = sum(int(one["mass_g"]) for one in row.body["parts"])
        count = many(len(row.body["parts"]), "part", "parts")
        said = f"{count} into {own.tag}, {format_mass(mass_g, desk.yard.weight_unit)}"
        return _told(self._desk, said, row)

    def take(self, tag: str, parts: Sequence[str]) -> Done[Consignment]:
        """Take parts out of an open consignment, all or none.

        Raises:
            LedgerRefusal: It is sealed, or one does not lie in it.
        """
        if not parts:
            raise DeskRefusal(NO_PARTS)
        row = self._desk.ledger.consignments.take(tag, [clean(one) for one in parts], self._desk.person)
        return _told(self._desk, f"{', '.join(row.body['names'])} taken out of {_tag(row)}", row)

    def weigh(self, tag: str, typed: str) -> Done[Consignment]:
        """Take the weight of an open consignment: net, or gross and tare.

        Raises:
            DeskRefusal: It cannot be read.
        """
        desk = self._desk
        words = typed.split()
        if not 1 <= len(words) <= 2:
            raise DeskRefusal(f'"{clean(typed, 40)}": type net, or gross and tare, such as 21640kg 9120kg.')
        gross_g = mass_typed(words[0], desk.yard)
        tare_g = mass_typed(words[1], desk.yard, may_be_zero=True) if len(words) == 2 else 0
        unit = desk.yard.weight_unit
        row = desk.ledger.consignments.weigh(tag, gross_g, tare_g, desk.person, unit=unit)
        return _told(self._desk, f"{_tag(row)} weighs {format_mass(gross_g - tare_g, unit)} net", row)

    def foreign(self, tag: str, typed: str) -> Done[Consignment]:
        """Take foreign material and the sample that it was sorted out of: "1.2kg 250kg".

        Raises:
            DeskRefusal: It cannot be read.
        """
        desk = self._desk
        words = typed.split()
        if len(words) != 2:
            raise DeskRefusal("Type the foreign material and the sample, such as 1.2kg 250kg.")
        found_g = mass_typed(words[0], desk.yard, may_be_zero=True)
        of_g = mass_typed(words[1], desk.yard)
        row = desk.ledger.consignments.foreign(tag, found_g, of_g, desk.person)
        return _told(self._desk, f"{_tag(row)}: foreign material {100.0 * found_g / of_g:.2f} %", row)

    def tick(self, tag: str, typed: str) -> Done[Consignment]:
        """Take what the person who works here says of a criterion: "oil yes looked over at loading".

        Raises:
            DeskRefusal: No such criterion, or neither yes nor no.
            LedgerRefusal: It is sealed.
        """
        criterion, is_met, words = tick_typed(typed)
        desk = self._desk
        row = desk.ledger.consignments.tick(tag, criterion, desk.person, is_met=is_met, words=words)
        met = "met" if is_met else "not met"
        return _told(self._desk, f"{_tag(row)}, {criterion}: {met}, says {desk.person}", row)

    def radiation(self, tag: str, typed: str) -> Done[Consignment]:
        """Take a measurement of radiation: "0.08 0.11 uSv/h gate monitor 12".

        Raises:
            DeskRefusal: It cannot be read.
            LedgerRefusal: It is sealed.
        """
        desk, measured = self._desk, radiation_typed(typed)
        row = desk.ledger.consignments.radiation(tag, desk.person, measured=measured)
        figures = f"highest {measured['highest']}, background {measured['background']} {measured['unit']}"
        return _told(self._desk, f"{_tag(row)}: {figures}", row)

    def seal(self, tag: str, despite: str = "") -> Done[Consignment]:
        """Seal an open consignment; see sealing.seal."""
        sheet, rows = seal(self._desk, tag, despite)
        words = f"{sheet.tag} sealed: {format_mass(sheet.net_g, sheet.unit)} for {sheet.buyer_name}"
        return _told(self._desk, words, *rows)

    def send(self, tag: str, vehicle: str) -> Done[Consignment]:
        """Say that a sealed consignment left, and by what.

        Raises:
            LedgerRefusal: It is open still, or left already.
        """
        row = self._desk.ledger.consignments.send(tag, self._desk.person, vehicle=clean(vehicle).strip())
        return _told(self._desk, f"{_tag(row)} left", row)

    def found(self, tag: str, typed: str) -> Done[Consignment]:
        """Take what the buyer found of a consignment that left; the newest finding counts.

        Raises:
            DeskRefusal: It cannot be read, or money is of another currency.
            LedgerRefusal: It has not left yet.
        """
        desk = self._desk
        finding = finding_typed(typed, self.sheet(tag), desk.yard)
        row = desk.ledger.consignments.found(tag, desk.person, findings={FINDING: asdict(finding)})
        settled = {one.tag: one for one in settled_loads(desk.ledger, desk.yard)}[_tag(row)]
        marked = [one.symbol for one in settled.differences if abs(one.z) > REMARKABLE]
        off = f"; further off than U: {', '.join(marked)}" if marked else ""
        return _told(self._desk, f"{_tag(row)} settled{off}", row)


def _told(desk: "Desk", said: str, *rows: Row) -> Done[Consignment]:
    """Return an act with the consignment as it stands with it; undo knows of it."""
    for row in rows:
        desk.history.record(row)
    return Done(sentence=said, rows=rows, made=consignment_named(desk.ledger, _tag(rows[-1])))


def _tag(row: Row) -> str:
    return str(row.body[TAG])
