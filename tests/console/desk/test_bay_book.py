"""What lies in the bays: followed row by row, kept beside the store, and always what the ledger says."""

import random
import shutil
from collections.abc import Callable, Mapping
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest

from console.desk import Desk, load_yard_and_library, open_yardless, room_told
from console.desk.bays.bay_book import BayBook
from console.desk.bays.kept_bays import file_of, kept
from console.ledger.rows.queries import LedgerReader
from console.ledger.views.bay_metal import bay_metal
from console.yard.chemistry.composition import BaySums
from console.yard.chemistry.content import content_now

LINES = (
    "100 6063 cu0.02 zn0.02 mg0.5 si0.4 al99",
    "50 6061",
    "12 304",
    "8 cr18.2 ni8.1 fe71",
    "3 yellow brass",
    "2 axc",
    "5 ?",
)
BAYS = ("AXC", "ALO", "STN")


@pytest.fixture
def desk(yard_folder: Path, clock: Callable[[], datetime]) -> Desk:
    """A desk with an open run, its bays read."""
    desk = Desk.open(yard_folder, now=clock)
    desk.bays.book.read()
    return desk


def same(found: Mapping[str, BaySums], fresh: Mapping[str, BaySums]) -> bool:
    """Tell whether two sets of sums agree in weight, pieces, composition and uncertainty."""
    return all(
        found[code].mass_g == pytest.approx(fresh[code].mass_g, abs=1e-3)
        and found[code].pieces == pytest.approx(fresh[code].pieces, abs=1e-6)
        and found[code].refused_g == pytest.approx(fresh[code].refused_g, abs=1e-3)
        and np.allclose(
            [(b.wt_pct, b.sigma) for b in found[code].composition().values()],
            [(b.wt_pct, b.sigma) for b in fresh[code].composition().values()],
            atol=1e-4,
        )
        for code in fresh
    )


def act_at_random(desk: Desk, chance: random.Random) -> None:
    """Do one of the acts that change what lies in the bays."""
    standing = [piece for piece in desk.review.pieces() if not piece.is_void]
    piece = chance.choice(standing) if standing else None
    kind = chance.choice(
        ("tally", "tally", "tally", "move", "void", "reweigh", "draw", "undo", "redo", "resolve")
    )
    if kind == "tally" or piece is None:
        desk.tally(desk.consider(chance.choice(LINES)), bay_code=chance.choice((None, *BAYS)))
    elif kind == "move":
        desk.review.move(
            piece.row_id, chance.choice([b for b in (*BAYS, "HLD") if b != piece.bay]), "wrong bay"
        )
    elif kind == "void":
        desk.review.void(piece.row_id, "twice")
    elif kind == "reweigh":
        desk.review.reweigh(piece.row_id, f"{chance.randrange(1, 90)}.37", "scale")
    elif kind == "draw":
        lying = {code: sums.mass_g for code, sums in desk.bays.book.sums().items()}
        code = max(BAYS, key=lambda bay: lying[bay])
        if lying[code] > 0:
            desk.bays.draw_down(code, chance.choice(("all", f"{lying[code] / 2500:.2f}")), "sold")
    elif kind == "resolve":
        for held in [one for one in standing if one.is_held and one.line == "5 ?"][:1]:
            desk.review.resolve(held.row_id, "cr18.2 ni8.1 fe71", "shot", bay_code="STN")
    elif kind == "undo" and desk.history.done:
        desk.undo()
    elif kind == "redo" and desk.history.undone:
        desk.redo()


@pytest.mark.parametrize("seed", range(4))
def test_followed_sums_are_those_of_a_fresh_look(desk: Desk, seed: int) -> None:
    """Whatever is done, the book says what a look at the whole ledger says; most acts need no such look."""
    chance = random.Random(seed)
    followed = 0
    for _ in range(40):
        act_at_random(desk, chance)
        followed += desk.bays.book.is_ready
        fresh = bay_metal(desk.ledger, desk.yard, desk.library)
        assert same(desk.bays.book.sums(), fresh)
    assert followed >= 20


def test_a_moved_and_a_resolved_piece_need_no_look_at_the_whole(desk: Desk) -> None:
    """A move, a resolve, a weight and a void are followed; the draw-down of the bay before them is too."""
    row = desk.tally(desk.consider("50 6061"), bay_code="ALO").row
    held = desk.tally(desk.consider("5 ?")).row
    desk.bays.book.sums()
    desk.review.move(row.row_id, "AXC", "wrong bay")
    desk.review.reweigh(row.row_id, "51", "scale")
    desk.review.resolve(held.row_id, "cr18.2 ni8.1 fe71", "shot again")
    desk.bays.draw_down("AXC", "20", "sold")
    assert desk.bays.book.is_ready
    assert same(desk.bays.book.sums(), bay_metal(desk.ledger, desk.yard, desk.library))

    desk.review.void(row.row_id, "never there")
    assert not desk.bays.book.is_ready
    assert same(desk.bays.book.sums(), bay_metal(desk.ledger, desk.yard, desk.library))


def test_the_sums_are_kept_for_the_next_start(
    desk: Desk, yard_folder: Path, clock: Callable[[], datetime]
) -> None:
    """Closed and opened again, the book goes on from the kept sums, with what came in between."""
    for line in LINES:
        desk.tally(desk.consider(line))
    desk.close()
    again = Desk.open(yard_folder, now=clock)
    assert (found := kept(again.ledger, again.yard, again.library)) is not None
    again.tally(again.consider("7 304"))
    again.close()
    with LedgerReader.open(again.ledger.path) as reader:
        book = BayBook(reader, again.yard, again.library)
        fresh = bay_metal(reader, again.yard, again.library)
        assert found.seen < reader.connection.execute("SELECT max(seq) FROM ledger").fetchone()[0]
        assert same(book.sums(), fresh) and book.sums()["STN"].mass_g > found.sums["STN"].mass_g


def spoil(file: Path, how: str, other_store: Callable[[], Path]) -> None:
    """Make the kept sums such that they must not be believed."""
    match how:
        case "cut off":
            file.write_bytes(file.read_bytes()[:300])
        case "no text":
            file.write_bytes(b"\xff\x00[]")
        case "no object":
            file.write_text("[]", encoding="utf-8")
        case "another store":
            shutil.copy(file_of(other_store()), file)


@pytest.mark.parametrize("how", ["cut off", "no text", "no object", "another store"])
def test_kept_sums_that_do_not_hold_are_not_believed(desk: Desk, yard_folder: Path, how: str) -> None:
    """A torn file or one of another store is passed over without a word."""

    def other_store() -> Path:
        folder = yard_folder / "other"
        folder.mkdir()
        shutil.copy(yard_folder / "yard.toml", folder)
        strange = Desk.open(folder, now=lambda: datetime(2027, 1, 1, tzinfo=UTC))
        strange.tally(strange.consider("99 304"))
        strange.bays.book.read()
        strange.close()
        return strange.ledger.path

    desk.tally(desk.consider("12 304"))
    desk.bays.book.keep()
    assert kept(desk.ledger, desk.yard, desk.library) is not None

    spoil(file_of(desk.ledger.path), how, other_store)

    assert kept(desk.ledger, desk.yard, desk.library) is None
    fresh = BayBook(desk.ledger, desk.yard, desk.library)
    assert same(fresh.sums(), bay_metal(desk.ledger, desk.yard, desk.library))


def test_sums_of_another_buyer_are_not_believed(desk: Desk, yard_folder: Path) -> None:
    """What a bay takes was changed in yard.toml: what its buyer would refuse is reckoned anew."""
    desk.tally(desk.consider("12 6061"), bay_code="AXC")
    desk.bays.book.keep()
    file = yard_folder / "yard.toml"
    text = file.read_text(encoding="utf-8")
    file.write_text(text.replace('"6005A", "6061"', '"6005A"'), encoding="utf-8")

    yard, library = load_yard_and_library(yard_folder)

    assert kept(desk.ledger, yard, library) is None
    assert BayBook(desk.ledger, yard, library).sums()["AXC"].refused_g > 10_000


@pytest.mark.parametrize(
    "line", ["12 alu sheet", "9.8 5052", "7 304", "3 lab ni52 cr18 fe10 mo2.7 nb5.4 co9 w1"]
)
def test_the_bay_is_expected_to_have_refused_what_the_placement_said(desk: Desk, line: str) -> None:
    """A piece said to be accepted at 97 % adds 3 % of its weight to what is expected to be refused."""
    considered = desk.consider(line)
    assert considered.placement is not None and considered.placement.best is not None
    desk.tally(considered)

    sums = desk.bays.book.read()[considered.placement.bay.code]

    assert sums.refused_g / sums.mass_g == pytest.approx(1.0 - considered.placement.best.accepted, abs=1e-5)


def test_a_bay_would_become_what_it_becomes(desk: Desk) -> None:
    """What is reckoned of a piece before it is tallied is what lies in the bay afterwards, to the last digit
    that the ledger keeps."""
    considered = desk.consider("9.8 5052")
    assert considered.placement is not None
    bay = considered.placement.bay
    before = content_now(considered.verdict, considered.parsed.facts, 9800, 1, bay, desk.library)
    would = BaySums.empty(desk.library, desk.yard.techniques).plus(before, bay).composition()

    desk.tally(considered)

    became = desk.bays.book.read()[bay.code].composition()
    assert {s: (c.wt_pct, c.sigma) for s, c in became.items()} == {
        s: (pytest.approx(c.wt_pct, abs=1e-3), pytest.approx(c.sigma, abs=2e-3)) for s, c in would.items()
    }
    assert became["Cu"].sigma < 0.3


def test_a_piece_says_what_it_costs_of_the_bays_room(desk: Desk, yard_folder: Path) -> None:
    """A piece beyond a limit says so before it is tallied, on the screen and to `identify`."""
    desk.tally(desk.consider("200 6063 cu0.02 zn0.02 mg0.5 si0.4 al99"), bay_code="ALO")
    rich = desk.consider("3 6063 cu0.36 zn0.02 mg0.5 si0.4 al98.7")
    desk.bays.book.read()

    said = desk.piece.money(rich)
    assert said[0].startswith("costs ") and said[0].endswith(" EUR of Cu room"), said
    assert not any("room" in one for one in desk.piece.money(desk.consider(LINES[0])))
    desk.close()
    assert room_told(rich, open_yardless(yard_folder)) == said[:2]
