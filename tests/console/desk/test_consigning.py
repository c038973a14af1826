"""Consignments at the desk: parts in and out, the seal, and what it holds fast."""

import resource
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from pathlib import Path

import pytest

from console.desk import Desk, DeskRefusal
from console.ledger.consignments.consignment import State
from console.ledger.consignments.settled import settled_loads
from console.ledger.keeping.verify import verify
from console.ledger.rows.errors import LedgerRefusal
from console.ledger.views.bay_metal import bay_metal
from console.reports.consigning.paper import paper_text
from console.reports.consigning.radiation_record import radiation_record
from console.reports.consigning.settlement_text import settlement_text
from console.reports.labels.code import CodeKind
from console.reports.labels.gathered import tagged_label
from console.reports.labels.label import label_svg

CLEAN = "300 6063 cu0.02 zn0.02 mg0.5 si0.4 al99"
RICH = "300 al=97.4 mg=0.9 si=0.7 fe=0.3 cu=0.60 zn=0.02"


@pytest.fixture
def desk(yard_folder: Path, clock: Callable[[], datetime]) -> Desk:
    """A desk with two clean bales, one rich in copper, and a loose rest of clean metal."""
    opened = Desk.open(yard_folder, now=clock)
    for line in (CLEAN, CLEAN, RICH):
        opened.tally(opened.consider(line), bay_code="AXC")
        opened.bays.draw_down("AXC", "all", "bale")
    opened.tally(opened.consider(CLEAN), bay_code="AXC")
    return opened


def begun(desk: Desk, *parts: str, order: str = "RX1") -> str:
    tag = desk.consignments.begin(order).made.tag
    if parts:
        desk.consignments.put(tag, parts)
    return tag


def test_a_consignment_is_built_sealed_and_sent(desk: Desk) -> None:
    """Two bales and a loose amount: the seal takes the loose part out of its bay, and the sheet stays."""
    tag = begun(desk, "t1-axc-0001", "T1-AXC-0002", "AXC=100kg")
    assert tag == "T1-C1"
    before = desk.consignments.sheet(tag)
    assert [part.is_loose for part in before.parts] == [False, False, True]
    assert before.judged[0].is_met and before.net_g == 700_000
    assert bay_metal(desk.ledger, desk.yard, desk.library)["AXC"].mass_g == pytest.approx(300_000)

    done = desk.consignments.seal(tag)
    assert done.sentence == "T1-C1 sealed: 700.00 kg for Ridgeway Remelt"
    assert done.made.state is State.SEALED
    sealed = desk.consignments.sheet(tag)
    assert [part.name for part in sealed.parts] == ["T1-AXC-0001", "T1-AXC-0002", "T1-AXC-0004"]
    assert sealed.cents == 700 * 186
    assert bay_metal(desk.ledger, desk.yard, desk.library)["AXC"].mass_g == pytest.approx(200_000)
    assert desk.bays.book.sums()["AXC"].mass_g == pytest.approx(200_000)

    assert desk.consignments.send(tag, "truck 7").made.state is State.SENT
    assert verify(desk.ledger).is_whole


def test_the_seal_holds_everything_fast(desk: Desk) -> None:
    """No part, weight or tick after it; undo passes it over, its bales stay, and so does its sheet."""
    tag = begun(desk, "T1-AXC-0001", "AXC=100kg")
    desk.consignments.seal(tag)
    sheet = desk.consignments.sheet(tag)
    bale = next(row for row in desk.bays.sold() if row.body["bale"] == "T1-AXC-0001")
    acts = [
        lambda: desk.consignments.put(tag, ["T1-AXC-0002"]),
        lambda: desk.consignments.take(tag, ["T1-AXC-0001"]),
        lambda: desk.consignments.weigh(tag, "1200 100"),
        lambda: desk.consignments.seal(tag, "again"),
    ]
    for act in acts:
        with pytest.raises(
            LedgerRefusal,
            match="T1-C1 was sealed by Ilse, 2026-03-02 1.*: a sealed consignment never changes",
        ):
            act()
    with pytest.raises(LedgerRefusal, match="T1-AXC-0001 lies in T1-C1, which is sealed; it stays there"):
        desk.ledger.void(bale.row_id, "no", "Ilse")

    with pytest.raises(DeskRefusal, match="stays as it is. Once more takes back .*: piece 300.00 kg in AXC"):
        desk.undo()
    assert not any(piece.is_void for piece in desk.review.pieces()), "nobody knew that it would be a piece"
    assert desk.undo().sentence == "taken back: piece 300.00 kg in AXC"
    assert desk.consignments.all()[0].state is State.SEALED
    assert desk.consignments.sheet(tag) == sheet
    assert desk.consignments.begin("RX1").made.tag == "T1-C2"


def test_undo_takes_acts_back_until_the_seal(desk: Desk) -> None:
    """The parts of one act go together, redo puts them in again; the last undo takes the whole away."""
    tag = begun(desk, "T1-AXC-0001", "T1-AXC-0002")
    desk.consignments.take(tag, ["T1-AXC-0002"])
    assert [part.name for part in desk.consignments.all()[0].parts] == ["T1-AXC-0001"]

    assert desk.undo().sentence == "taken back: take of T1-C1"
    assert len(desk.consignments.all()[0].parts) == 2
    desk.undo()
    assert desk.consignments.all()[0].parts == ()
    desk.redo()
    assert len(desk.consignments.all()[0].parts) == 2
    desk.undo()
    desk.undo()
    assert desk.consignments.all() == []
    assert desk.consignments.begin("RX1").made.tag == "T1-C2"


def test_a_bale_lies_in_one_consignment_only(desk: Desk) -> None:
    """Put twice, taken out and put elsewhere, and its taking out then cannot be taken back."""
    first, second = begun(desk, "T1-AXC-0001"), begun(desk)
    with pytest.raises(LedgerRefusal, match="T1-AXC-0001 lies in T1-C1, which is open; take it out"):
        desk.consignments.put(second, ["T1-AXC-0002", "T1-AXC-0001"])
    with pytest.raises(LedgerRefusal, match="lies in T1-C2"):
        desk.consignments.put(second, ["T1-AXC-0002", "T1-AXC-0002"])
    assert desk.consignments.all()[1].parts == ()

    out = desk.consignments.take(first, ["T1-AXC-0001"]).row
    desk.consignments.put(second, ["T1-AXC-0001"])
    with pytest.raises(LedgerRefusal, match="T1-AXC-0001 lies in T1-C2"):
        desk.ledger.void(out.row_id, "no", "Ilse")
    bale = next(row for row in desk.bays.sold() if row.body["bale"] == "T1-AXC-0001")
    with pytest.raises(LedgerRefusal, match="take it out of there first"):
        desk.ledger.void(bale.row_id, "no", "Ilse")


@pytest.mark.parametrize(
    ("order", "said"),
    [
        ("RX9", 'No order or buyer "RX9" in yard.toml'),
        ("ridge", "has several orders: RX1, RX2"),
        ("OLD", "Order OLD was taken until 2020-01-01"),
    ],
)
def test_an_order_that_cannot_be_is_refused(desk: Desk, yard_folder: Path, order: str, said: str) -> None:
    """Unknown, not the only one of its buyer, over."""
    file = yard_folder / "yard.toml"
    text = file.read_text(encoding="utf-8").replace('code = "TS1"', 'code = "OLD"\nuntil = 2020-01-01')
    file.write_text(text, encoding="utf-8")
    desk.close()
    again = Desk.open(yard_folder, now=desk.now)

    with pytest.raises(DeskRefusal, match=said):
        again.consignments.begin(order)
    assert again.consignments.begin("wire").made.order == "HC1"


def test_what_the_order_refuses_outright_needs_a_reason(desk: Desk) -> None:
    """Steel for an order of extrusions: refused, with a reason it goes in, and the sheet keeps the reason."""
    desk.tally(desk.consider("250 fer"))
    tag = begun(desk)
    with pytest.raises(DeskRefusal, match="RX1 does not take all that may lie in FER.*Give a reason"):
        desk.consignments.put(tag, ["FER=100"])
    desk.consignments.put(tag, ["FER=100", "T1-AXC-0001"], "trial melt")

    assert [(part.bay, part.despite) for part in desk.consignments.sheet(tag).parts] == [
        ("AXC", ""),
        ("FER", "trial melt"),
    ], "the clean bale needed none"
    desk.consignments.take(tag, ["FER"])
    assert [part.despite for part in desk.consignments.sheet(tag).parts] == [""]


def test_a_load_beyond_a_limit_is_not_sealed_without_a_reason(desk: Desk) -> None:
    """The refusal names the limit, by how much, and what would help; the reason stands on the sheet."""
    tag = begun(desk, "T1-AXC-0001", "T1-AXC-0003")
    with pytest.raises(DeskRefusal) as refused:
        desk.consignments.seal(tag)
    said = str(refused.value)
    assert "T1-C1 does not pass: Cu <=0.25: 0.31 ±" in said and "too far by guard band" in said
    assert "leave out T1-AXC-0003: Cu 0.31 -> 0.02" in said
    assert desk.consignments.all()[0].state is State.OPEN

    desk.consignments.seal(tag, "agreed by telephone")
    sheet = desk.consignments.sheet(tag)
    assert sheet.despite == "agreed by telephone" and sheet.failures


def test_foreign_material_and_a_full_order_stop_the_seal_too(desk: Desk, yard_folder: Path) -> None:
    """More foreign material than the order takes, and more weight than it wants."""
    tag = begun(desk, "T1-AXC-0001")
    desk.consignments.foreign(tag, "3kg 200kg")
    with pytest.raises(DeskRefusal, match="foreign material 1.50 %: 0.50 more than 1 %"):
        desk.consignments.seal(tag)
    desk.consignments.foreign(tag, "1.4kg 200kg")
    assert desk.consignments.sheet(tag).price_per_kg == "1.83"
    desk.consignments.weigh(tag, "31t 8t")
    with pytest.raises(DeskRefusal, match="order RX1 wants 20000.00 kg; with this one 23000.00 kg"):
        desk.consignments.seal(tag)


@pytest.mark.parametrize("part", ["T1-XXX-0001", "AXC=much", "ZZZ=1", "HLD=1", "CUB=all", "AXC=0"])
def test_a_part_that_cannot_be_is_refused(desk: Desk, part: str) -> None:
    """No such bale or bay, no weight, the hold bay, an empty bay: nothing of the act is written."""
    tag = begun(desk)
    with pytest.raises((DeskRefusal, LedgerRefusal)):
        desk.consignments.put(tag, ["T1-AXC-0001", part])

    assert desk.consignments.all()[0].parts == ()


def test_an_empty_one_and_an_empty_bay_cannot_be_sealed(desk: Desk) -> None:
    """Nothing in it, or a loose amount of a bay in which nothing lies by now."""
    tag = begun(desk)
    with pytest.raises(LedgerRefusal, match="T1-C1 is empty"):
        desk.consignments.seal(tag)
    desk.consignments.put(tag, ["AXC=100"])
    desk.bays.draw_down("AXC", "all", "elsewhere")
    with pytest.raises(DeskRefusal, match="nothing lies in AXC"):
        desk.consignments.seal(tag, "all the same")
    assert len(desk.bays.sold()) == 4


def test_two_loose_parts_of_one_bay_share_what_lies_there(desk: Desk) -> None:
    """Each is drawn of what the one before left, and the next start finds the same sums."""
    tag = begun(desk, "AXC=100", "AXC=150")
    desk.consignments.seal(tag)
    names = [part.name for part in desk.consignments.sheet(tag).parts]

    assert names == ["T1-AXC-0004", "T1-AXC-0005"]
    assert desk.bays.book.sums()["AXC"].mass_g == pytest.approx(50_000)
    assert bay_metal(desk.ledger, desk.yard, desk.library)["AXC"].mass_g == pytest.approx(50_000)


def test_a_sealed_one_outlives_its_order(desk: Desk, yard_folder: Path) -> None:
    """Whatever becomes of the order in yard.toml: the sealed sheet stays, an open one is refused."""
    sealed, still_open = begun(desk, "T1-AXC-0001"), begun(desk, "T1-AXC-0002")
    desk.consignments.seal(sealed)
    sheet = desk.consignments.sheet(sealed)
    desk.close()
    file = yard_folder / "yard.toml"
    text = file.read_text(encoding="utf-8").replace('code = "RX1"', 'code = "RX7"')
    file.write_text(text.replace("Ridgeway Remelt", "Another"), encoding="utf-8")
    again = Desk.open(yard_folder, now=desk.now)

    assert again.consignments.sheet(sealed) == sheet
    with pytest.raises(LedgerRefusal, match="Order RX1 of T1-C2 is no longer in yard.toml"):
        again.consignments.sheet(still_open)


def test_a_tick_bears_the_name_of_who_says_it(desk: Desk) -> None:
    """The last word on a criterion counts; what is no criterion is refused with those there are."""
    tag = begun(desk, "T1-AXC-0001")
    desk.consignments.tick(tag, "oil no drips")
    desk.take_over("Marit")
    desk.consignments.tick(tag, "oil yes wiped, looked over")

    [tick] = desk.consignments.sheet(tag).ticks
    assert (tick.criterion, tick.is_met, tick.person, tick.words) == (
        "oil",
        True,
        "Marit",
        "wiped, looked over",
    )
    for typed in ("smell yes", "oil", "oil maybe"):
        with pytest.raises(DeskRefusal, match="Criteria: graded, foreign, oxide"):
            desk.consignments.tick(tag, typed)


def test_a_settled_load_stands_against_its_estimate(desk: Desk) -> None:
    """Weight, analysis, yield, money: what is further off than U is named; a new finding counts."""
    tag = begun(desk, "T1-AXC-0001", "T1-AXC-0002")
    with pytest.raises(LedgerRefusal, match="has not left yet"):
        desk.consignments.found(tag, "net=598kg")
    desk.consignments.seal(tag)
    desk.consignments.send(tag, "truck 7")
    said = desk.consignments.found(tag, "net=598kg cu=0.31 zn=0.02 yield=94.5 paid=1080.50EUR; oily").sentence
    assert said == "T1-C1 settled; further off than U: Cu"

    [settled] = settled_loads(desk.ledger, desk.yard)
    assert (settled.finding.net_g, settled.finding.paid_cents, settled.finding.words) == (
        598_000,
        108_050,
        "oily",
    )
    assert settled.differences[0].value == pytest.approx(0.31 - 0.02, abs=1e-3)
    assert "found 598.00 kg: -2.00 kg" in desk.consignments.page(tag, 78)
    desk.undo()
    assert settled_loads(desk.ledger, desk.yard) == []
    assert "found" not in desk.consignments.page(tag, 78)
    desk.redo()
    desk.consignments.found(tag, "cu=0.05")
    [again] = settled_loads(desk.ledger, desk.yard)
    assert again.finding.net_g is None and abs(again.differences[0].z) < 2.0
    told = "\n".join(settlement_text([settled]))
    assert "ours 600.00 kg, found 598.00 kg: -2.00 kg" in told
    assert "paid      1080.50 EUR, by the order 1116.00 EUR: -35.50 EUR" in told
    assert "BIAS BY BAY AND ELEMENT" in told and "said      oily" in told


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("paid=1080USD", "T1-C1 is sold in EUR; 1080USD is USD and cannot be set against that"),
        ("cu=0.3 cu=0.4", "cu stands twice"),
        ("copper=0.3", '"copper" is not understood. Type such as net='),
        ("cu", '"cu" is not understood'),
        ("cu=130", "from 0 to 100"),
        ("paid=10.505", "at most two decimals"),
        ("net=heavy", "is not a weight"),
        ("", "Type such as net="),
    ],
)
def test_a_finding_that_cannot_be_is_refused(desk: Desk, typed: str, said: str) -> None:
    """Money of another currency, doubles, the unknown, impossible figures: a sentence, and no row."""
    tag = begun(desk, "T1-AXC-0001")
    desk.consignments.seal(tag)
    desk.consignments.send(tag, "truck")
    with pytest.raises(DeskRefusal, match=said):
        desk.consignments.found(tag, typed)
    assert settled_loads(desk.ledger, desk.yard) == []


def test_tags_are_taken_as_a_scanner_types_them(desk: Desk) -> None:
    """The label of a consignment and of a bale comes back without its lines, and means the same."""
    tag = begun(desk, "T1AXC0001")
    label = tagged_label(desk.ledger, desk.yard, "t1-c1")

    assert (label.tag, label.content) == ("T1-C1", "T1C1")
    assert label.rows[:2] == (
        "to RIDGE, order RX1, from Marlstone Siding Metals",
        "300.00 kg, 1 part, open",
    )
    desk.consignments.take("T1C1", ["t1axc0001"])
    assert desk.consignments.sheet(tag).parts == ()
    desk.consignments.put("t1c1", ["T1-AXC-0002"])
    assert label_svg(label, CodeKind.QR).count("T1-C1") >= 1


@pytest.mark.parametrize("room_bytes", [0, 1_000, 3_000])
def test_a_disk_that_fills_up_in_the_middle_of_printing_leaves_no_paper(desk: Desk, room_bytes: int) -> None:
    """Whichever paper no longer fits, none is left, whole or in part; with room again all are written."""
    tag = begun(desk, "T1-AXC-0001")
    desk.consignments.seal(tag)
    before = sorted(file.name for file in desk.yard.folder.iterdir())
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (room_bytes, hard))
    try:
        with pytest.raises(DeskRefusal, match="No paper was written"):
            desk.consignments.papers(tag)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))

    assert sorted(file.name for file in desk.yard.folder.iterdir()) == before
    assert all(file.stat().st_size for file in desk.consignments.papers(tag).made)


def test_radiation_is_measured_by_somebody(desk: Desk) -> None:
    """A measurement stands on the sheet with name and time; what is no reading is refused."""
    tag = begun(desk, "T1-AXC-0001")
    desk.consignments.radiation(tag, "0.08 0.11 uSv/h gate monitor 12")
    for typed in (
        "",
        "0.08",
        "0.08 high uSv/h gate",
        "0.11 0.08 uSv/h gate",
        "0.08 0.11 uSv/h",
        "-1 2 uSv/h gate",
    ):
        with pytest.raises(DeskRefusal, match="Type background, highest, unit and instrument"):
            desk.consignments.radiation(tag, typed)
    desk.consignments.seal(tag)
    with pytest.raises(LedgerRefusal, match="never changes"):
        desk.consignments.radiation(tag, "0.08 0.11 uSv/h gate")

    sheet = desk.consignments.sheet(tag)
    [one] = sheet.radiation
    assert (one.background, one.highest, one.unit, one.instrument) == (
        "0.08",
        "0.11",
        "uSv/h",
        "gate monitor 12",
    )
    assert one.person == "Ilse" and one.at.startswith("2026-03-02")
    told = " ".join(paper_text(radiation_record(sheet, "", "")).split())
    assert "Ilse gate monitor 12 0.08 0.11 uSv/h" in told and "no response needed OPEN" in told
    empty = " ".join(paper_text(radiation_record(replace(sheet, radiation=()), "", "")).split())
    assert "OPEN: nobody measured" in empty
