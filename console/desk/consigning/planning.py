"""The best sale at the desk: what could be sold now, the search for it, and consignments made of the plan."""

from typing import TYPE_CHECKING

from console.desk.done import Done
from console.desk.refusals import DeskRefusal
from console.desk.run_pages import newest_seq
from console.ground.dates import local
from console.ground.figures import many
from console.ground.mass import format_mass
from console.ledger.consignments.for_sale import sale_of
from console.ledger.rows.rows import Row
from console.reports.paperwork.plan_text import plan_text
from console.yard.loads.buyer import order_named
from console.yard.selling.apart import Search
from console.yard.selling.plan import SECONDS, SalePlan
from console.yard.selling.sale import Outlet, Sale

if TYPE_CHECKING:
    from console.desk.desk import Desk

NO_ORDERS = "Nothing in the plan goes to an order of a buyer, so there is no consignment to begin."
STALE = "{what} is no longer as it was planned; plan again first."
NOT_PASSED = "; as it stands {tags} would not pass by its order, the page says why"


class Planning:
    """Plans of the yard."""

    def __init__(self, desk: "Desk") -> None:
        self._desk = desk

    def sale(self, confidence: float) -> Sale:
        """Return what could be sold now, and who takes it."""
        desk = self._desk
        today = local(desk.now()).date()
        return sale_of(desk.ledger, desk.yard, desk.bays.book.sums(), today, confidence=confidence)

    def search(self, confidence: float, seconds: float = SECONDS) -> Search:
        """Begin the search for the best sale, in a process of its own.

        Raises:
            PlanError: scipy is not there.
        """
        return Search(self.sale(confidence), seconds)

    def page(self, plan: SalePlan, width: int) -> str:
        """Return a plan as lines; without money where the yard hides it."""
        yard = self._desk.yard
        lines = plan_text(plan, yard.currency, yard.weight_unit, width, shows_money=yard.show_money)
        return "\n".join(lines)

    def draft(self, plan: SalePlan) -> Done[tuple[str, ...]]:
        """Begin a consignment for every order of a plan, with its parts in it; all of them or none.

        One undo takes all of them back; each stays open, to be changed and sealed like any other.

        Raises:
            DeskRefusal: No order gets anything, or what was planned is no longer so.
        """
        desk = self._desk
        served = [one for one in plan.sale.outlets if one.order and plan.solved.into(one.name)]
        if not served:
            raise DeskRefusal(NO_ORDERS)
        self._refuse_stale(plan, served)
        together = f"plan-{newest_seq(desk.ledger)}"
        with desk.ledger.act():
            rows = [row for outlet in served for row in self._drafted(plan, outlet, together)]
        for row in rows:
            desk.history.record(row)
        tags = tuple(dict.fromkeys(str(row.body["consignment"]) for row in rows))
        loads = [sum(part.mass_kg for part in plan.solved.into(one.name)) for one in served]
        weights = [format_mass(round(1000.0 * kg), desk.yard.weight_unit) for kg in loads]
        told = zip(tags, served, weights, strict=True)
        made = ", ".join(f"{tag} {one.order} {weight}" for tag, one, weight in told)
        failing = [tag for tag in tags if desk.consignments.sheet(tag).failures]
        said = NOT_PASSED.format(tags=", ".join(failing)) if failing else ""
        words = f"{many(len(tags), 'draft', 'drafts')}: {made}{said}"
        return Done(sentence=words, rows=tuple(rows), made=tags)

    def _drafted(self, plan: SalePlan, outlet: Outlet, together: str) -> list[Row]:
        desk, acts = self._desk, self._desk.ledger.consignments
        found = order_named(desk.yard.buyers, outlet.order)
        assert found is not None, "the outlet was made of it just now"
        begun = acts.begin(found[0].code, outlet.order, desk.person, together=together)
        whole = {source.name for source in plan.sale.sources if source.is_whole}
        parts = plan.solved.into(outlet.name)
        loose = [(part.source, int(1000.0 * part.mass_kg)) for part in parts if part.source not in whole]
        put = acts.put(
            str(begun.body["consignment"]),
            [part.source for part in parts if part.source in whole],
            [(bay, mass_g) for bay, mass_g in loose if mass_g > 0],
            desk.person,
            together=together,
        )
        return [begun, put]

    def _refuse_stale(self, plan: SalePlan, served: list[Outlet]) -> None:
        now = self.sale(plan.sale.confidence)
        sources, outlets = {one.name: one for one in now.sources}, {one.name: one for one in now.outlets}
        sold = {part.source for outlet in served for part in plan.solved.into(outlet.name)}
        for outlet in served:
            if outlets.get(outlet.name) != outlet:
                raise DeskRefusal(STALE.format(what=f"order {outlet.order}"))
        for source in plan.sale.sources:
            if source.name in sold and sources.get(source.name) != source:
                raise DeskRefusal(STALE.format(what=source.name))
