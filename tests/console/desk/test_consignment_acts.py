"""What a consignment weighs, which of its parts is meant, how often it leaves, and when it counts."""

from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from console.desk import Desk, DeskRefusal
from console.ledger.consignments.quality import quality_of
from console.ledger.rows.errors import LedgerRefusal


@pytest.fixture
def desk(yard_folder: Path, clock: Callable[[], datetime]) -> Desk:
    """A desk with 300 kg of clean extrusions in their bay."""
    opened = Desk.open(yard_folder, now=clock)
    opened.tally(opened.consider("300 6063 cu0.02 zn0.02 mg0.5 si0.4 al99"), bay_code="AXC")
    return opened


def begun(desk: Desk, *parts: str) -> str:
    """Begin a consignment with parts in it."""
    tag = desk.consignments.begin("RX1").made.tag
    desk.consignments.put(tag, parts)
    return tag


def test_a_consignment_weighs_what_the_truck_scale_says_less_the_truck(desk: Desk) -> None:
    """Net is gross less tare, its parts where nobody weighed; foreign material counts by its sample."""
    tag = begun(desk, "AXC=100kg")
    assert desk.consignments.all()[0].net_g == 100_000

    weighed = desk.consignments.weigh(tag, "1200kg 1090kg").made
    assert (weighed.net_g, weighed.parts_g) == (110_000, 100_000)
    assert desk.consignments.foreign(tag, "1.5kg 200kg").made.foreign_wt_pct == pytest.approx(0.75)


@pytest.mark.parametrize("typed", ["100kg 100kg", "100kg 101kg"])
def test_a_load_weighs_something(desk: Desk, typed: str) -> None:
    """A tare that is not below the gross weight is refused, and the weight stays as it was."""
    tag = begun(desk, "AXC=100kg")
    with pytest.raises(LedgerRefusal, match="must be above tare"):
        desk.consignments.weigh(tag, typed)
    assert desk.consignments.all()[0].gross_g is None


@pytest.mark.parametrize("typed", ["2kg 2kg", "3kg 2kg"])
def test_foreign_material_is_part_of_its_sample(desk: Desk, typed: str) -> None:
    """As much foreign material as sample, or more, is refused."""
    tag = begun(desk, "AXC=100kg")
    with pytest.raises(LedgerRefusal, match="weighs less than the sample"):
        desk.consignments.foreign(tag, typed)
    assert desk.consignments.all()[0].foreign is None


def test_of_several_loose_amounts_of_a_bay_the_newest_is_taken_out(desk: Desk) -> None:
    """Named by its bay the last one put in goes; named twice both go."""
    tag = begun(desk, "AXC=100kg", "AXC=150kg")
    desk.consignments.take(tag, ["AXC"])
    assert [part.mass_g for part in desk.consignments.all()[0].parts] == [100_000]

    desk.consignments.put(tag, ["AXC=120kg"])
    desk.consignments.take(tag, ["AXC", "AXC"])
    assert desk.consignments.all()[0].parts == ()


def test_all_of_an_empty_bay_is_nothing(desk: Desk) -> None:
    """All of a bay is what lies there; where nothing does, that is said and nothing is put in."""
    tag = begun(desk, "AXC=all")
    assert [part.mass_g for part in desk.consignments.all()[0].parts] == [300_000]

    desk.bays.draw_down("AXC", "all", "elsewhere")
    with pytest.raises(DeskRefusal, match="nothing lies in AXC"):
        desk.consignments.put(tag, ["AXC=all"])
    assert len(desk.consignments.all()[0].parts) == 1


def test_a_consignment_leaves_once_and_sealed(desk: Desk) -> None:
    """An open one is not sent, a sent one is not sent again."""
    tag = begun(desk, "AXC=100kg")
    with pytest.raises(LedgerRefusal, match="T1-C1 is open still"):
        desk.consignments.send(tag, "truck 7")
    desk.consignments.seal(tag)
    desk.consignments.send(tag, "truck 7")
    with pytest.raises(LedgerRefusal, match="T1-C1 was sent already"):
        desk.consignments.send(tag, "truck 8")


def test_what_left_for_an_order_fills_it(desk: Desk) -> None:
    """The net weights of sealed and sent loads count, an open one's does not: 15 t and 8 t are over 20 t."""
    first, _, third = (begun(desk, "AXC=50kg") for _ in range(3))
    desk.consignments.weigh(first, "25t 10t")
    desk.consignments.seal(first)
    desk.consignments.send(first, "truck 7")
    desk.consignments.weigh(third, "18t 10t")

    with pytest.raises(DeskRefusal, match="order RX1 wants 20000.00 kg; with this one 23000.00 kg"):
        desk.consignments.seal(third)


def test_a_stretch_of_time_holds_its_begin_and_not_its_end(desk: Desk) -> None:
    """A load sealed at the very moment between two stretches is told in the second one only."""
    tag = begun(desk, "AXC=100kg")
    seal = desk.consignments.seal(tag).made.sealed
    assert seal is not None
    at, hour = seal.at_utc, timedelta(hours=1)

    assert quality_of(desk.ledger, at - hour, at).loads == ()
    assert [load.tag for load in quality_of(desk.ledger, at, at + hour).loads] == [tag]
