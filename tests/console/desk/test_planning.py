"""A plan at the desk: what is for sale, and the consignments that it becomes."""

import subprocess
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import datetime
from pathlib import Path

import pytest

from console.desk import Desk
from console.desk.refusals import DeskRefusal
from console.yard.selling.apart import Search
from console.yard.selling.plan import SalePlan, best_sale
from console.yard.selling.sale import PlanError, Sale

CLEAN = "280kg 6063 mg=0.5 si=0.4 cu=0.02 zn=0.02 al=99 axc"


@pytest.fixture
def desk(yard_folder: Path, clock: Callable[[], datetime]) -> Iterator[Desk]:
    """A desk with two bales of clean extrusions, loose ones beside them, and 18/8 stainless."""
    desk = Desk.open(yard_folder, now=clock)
    for _ in range(2):
        desk.tally(desk.consider(CLEAN))
        desk.bays.draw_down("AXC", "all", "to sell")
    desk.tally(desk.consider(CLEAN.replace("280", "90")))
    desk.tally(desk.consider("120kg 304 cr18.4 ni9.8 mn1.5 si0.4 fe69.5 mo0.2 cu0.2 stn"))
    yield desk
    desk.close()


def planned(desk: Desk) -> SalePlan:
    return best_sale(desk.planning.sale(0.95))


def test_every_order_of_a_plan_becomes_a_consignment(desk: Desk) -> None:
    """Whole bales and loose weight to the gram, at most what was planned; buyers of bays get none."""
    desk.tally(desk.consider("12 ti ttn"))
    plan = planned(desk)
    done = desk.planning.draft(plan)

    assert done.sentence == "2 drafts: T1-C1 RX1 650.00 kg, T1-C2 TS2 120.00 kg"
    drafts = {one.order: one for one in desk.consignments.all()}
    assert sorted(part.name for part in drafts["RX1"].parts) == ["AXC", "T1-AXC-0001", "T1-AXC-0002"]
    assert {one.order: one.parts_g for one in drafts.values()} == {"RX1": 650_000, "TS2": 120_000}
    assert [one.failures for one in map(desk.consignments.sheet, done.made)] == [(), ()]
    assert {part.outlet for part in planned(desk).solved.parts} == {"buyer of TTN"}


def test_drafts_are_taken_back_and_brought_again_together(desk: Desk) -> None:
    """Four rows of one act: one undo, one redo; what came before is another act."""
    plan = planned(desk)
    desk.planning.draft(plan)

    assert desk.undo().sentence == "taken back: the drafts T1-C1, T1-C2"
    assert desk.consignments.all() == []
    assert desk.redo().sentence == "once more: the drafts T1-C1, T1-C2"
    assert [len(one.parts) for one in desk.consignments.all()] == [3, 1]
    desk.consignments.take("T1-C1", ["AXC"])
    assert desk.undo().sentence == "taken back: take of T1-C1"
    assert desk.undo().sentence == "taken back: the drafts T1-C1, T1-C2"
    assert desk.undo().sentence.startswith("taken back: piece 120.00 kg")


def test_a_plan_of_what_changed_since_is_refused(desk: Desk) -> None:
    """A bale sold meanwhile, more metal in a bay, an order that is gone: it is named, nothing is written."""
    plan = planned(desk)
    desk.consignments.begin("RX2")
    desk.consignments.put("T1-C1", ["T1-AXC-0002"])
    with pytest.raises(DeskRefusal, match="T1-AXC-0002 is no longer as it was planned"):
        desk.planning.draft(plan)
    plan = planned(desk)
    desk.tally(desk.consider(CLEAN))
    with pytest.raises(DeskRefusal, match="AXC is no longer as it was planned"):
        desk.planning.draft(plan)
    plan = planned(desk)
    desk.yard = replace(desk.yard, buyers=desk.yard.buyers[:1])
    with pytest.raises(DeskRefusal, match="order TS2 is no longer"):
        desk.planning.draft(plan)

    assert [one.tag for one in desk.consignments.all()] == ["T1-C1"]


def test_a_plan_without_orders_drafts_nothing(desk: Desk) -> None:
    """What goes to buyers of bays alone is no consignment."""
    desk.yard = replace(desk.yard, buyers=())

    with pytest.raises(DeskRefusal, match="Nothing in the plan goes to an order"):
        desk.planning.draft(planned(desk))


def test_a_search_apart_finds_the_same(desk: Desk) -> None:
    """In a process of its own the plan is that of this one; what cannot be planned is said all the same."""
    sale = desk.planning.sale(0.95)
    plan = best_sale(sale)
    apart = Search(sale, 2.0).found()

    assert (apart.sale, apart.solved.parts, apart.kept) == (plan.sale, plan.solved.parts, plan.kept)
    with pytest.raises(PlanError, match="There is nothing to sell"):
        Search(replace(sale, sources=()), 2.0).found()


def test_a_search_that_was_ended_says_so() -> None:
    """Ended before its answer: a sentence with the status, and no process is left."""
    search = Search(Sale(sources=(), outlets=()), 2.0)
    search.end()
    with pytest.raises(PlanError, match=r"ended without an answer \(exit status -?\d+\)"):
        search.found()

    process = search._process
    assert isinstance(process, subprocess.Popen) and process.poll() is not None
