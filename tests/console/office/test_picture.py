"""The office's picture of all yards agrees with what each terminal reckons of its own rows."""

import json
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from console.cli import main
from console.ledger.keeping.store import Ledger
from console.ledger.rows.queries import LedgerReader, rows_where
from console.ledger.rows.rows import RowKind
from console.ledger.views.downgrades import enter_downgrade
from console.ledger.views.replay import CORRECTIONS, stand_after
from console.ledger.views.stock import stock
from console.office.address import Address, Connection
from console.office.copying_back import copied_back
from console.office.gathering import Place, gather
from console.office.needs import needs_of
from console.office.picture import Picture, WordLine, picture_of
from console.reports.paperwork.picture_report import picture_json, picture_text
from tests.console.ledger.clock import SteppingClock, brass
from tests.console.office.conftest import NORTH

Capture = pytest.CaptureFixture[str]
LONG_AGO, FAR = datetime(2020, 1, 1, tzinfo=UTC), datetime(2099, 1, 1, tzinfo=UTC)
BAYS = ("YB", "HLD", "CU")
ACT = st.tuples(
    st.sampled_from(["piece", "hold", "draw", "void", "unvoid", "move", "hold again", "reweigh", "resolve",
                     "load"]),
    st.integers(0, 9), st.sampled_from(BAYS), st.integers(1, 5_000),
)  # fmt: skip


def picture(office: Connection) -> Picture:
    return picture_of(office, start=LONG_AGO, end=FAR)


def act(ledger: Ledger, what: str, at: int, bay: str, mass_g: int, pieces: list[str]) -> None:
    """Do one act; corrections are rows as the acts write them, on whichever piece there is."""
    if what in ("piece", "hold") or not pieces:
        tag = f"T1-H{len(pieces) + 1}" if what == "hold" else None
        pieces.append(ledger.add_piece(brass(mass_g, bay=bay, tag=tag, pieces=at + 1), "Ada").row_id)
        return
    if what == "draw":
        pieces.append(ledger.draw_down(bay, mass_g, "Ada").row_id)
        return
    kind = RowKind.MOVE if what == "hold again" else RowKind(what)
    columns: dict[str, object] = {"refers": pieces[at % len(pieces)]}
    if kind in (RowKind.MOVE, RowKind.RESOLVE):
        names = ("C36000", None, "" if kind is RowKind.MOVE else "304")
        columns |= {"bay": bay, "grade_id": names[at % 3]}
    if what == "hold again":
        columns["tag"] = f"T1-H{90 + at}"
    if kind is RowKind.REWEIGH:
        columns |= {"mass_g": mass_g, "pieces": at or None}
    body = {"supplier": f"S{at}", "load": f"L{mass_g}"} if kind is RowKind.LOAD else {}
    ledger.append(kind, person="Ada", run_id="T1-0001", body=body, **columns)  # type: ignore[arg-type]


@settings(max_examples=15, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(acts=st.lists(ACT, max_size=25), cut=st.integers(1, 7))
def test_the_server_reckons_as_the_replay_does(
    office: Connection,
    tmp_path_factory: pytest.TempPathFactory,
    acts: list[tuple[str, int, str, int]],
    cut: int,
) -> None:
    """Whatever is corrected in whatever order and batch: pieces and stock at the office are as there."""
    store = tmp_path_factory.mktemp("replay") / "yard.sqlite3"
    with Ledger.open(store, now=SteppingClock(), terminal="T1") as ledger, ledger.act():
        ledger.open_run("Ada")
        pieces: list[str] = []
        for one in acts:
            act(ledger, *one, pieces)
    with LedgerReader.open(store) as reader:
        done = gather(reader, office, NORTH, batch_rows=cut)
        assert done.standing.chain is not None
        chain = done.standing.chain.chain
        rows = rows_where(reader, f"kind IN ('piece', 'draw-down') OR {CORRECTIONS}")
        ours = [
            (row_id, one.bay, one.grade_id, one.mass_g, one.pieces, one.tag, one.is_held, one.is_void,
             one.supplier, one.load)
            for row_id, one in stand_after(rows).items()
        ]  # fmt: skip
        lying = {one.bay: one.closing_g for one in stock(reader) if one.closing_g or one.in_g or one.out_g}

    theirs = office.execute(
        "SELECT row_id, bay, grade_id, mass_g, pieces, tag, is_held, is_void, supplier, load "
        "FROM baywright.standing WHERE chain = %s ORDER BY seq", (chain,),
    ).fetchall()  # fmt: skip
    of_bays = dict(
        office.execute(
            "SELECT bay, sum(in_g - out_g)::bigint FROM baywright.bay_day WHERE chain = %s GROUP BY bay",
            (chain,),
        ).fetchall()
    )
    assert theirs == ours
    assert {bay: of_bays.get(bay, 0) for bay in lying} == lying
    assert all(mass_g == 0 for bay, mass_g in of_bays.items() if bay not in lying)


@pytest.fixture
def two_yards(ledger: Ledger, store: Path, office: Connection, tmp_path: Path) -> Picture:
    """North with a hold, a draw-down and its downgrade; South with one piece and a closed run."""
    ledger.add_piece(brass(5000), "Ada")
    ledger.add_piece(brass(1000, tag="T1-H1", bay="HLD"), "Ada")
    bale = ledger.draw_down("YB", 2000, "Ada", reason="=Harrow [b]", body={"bale": "T1-YB-0001"})
    enter_downgrade(ledger, bale, 500, "Ada", loss=12.5, reason="too much lead")
    shot = {"sample": "B1", "technique": "xrf", "elements": [
        {"symbol": "Cu", "measured": 60.3, "known": 60.0, "sigma": 0.1, "bias": 0.3, "z": 3.0}]}  # fmt: skip
    ledger.append(RowKind.CHECK, person="Ada", body=shot)
    with LedgerReader.open(store) as reader:
        gather(reader, office, NORTH)
    with Ledger.open(tmp_path / "south.sqlite3", now=SteppingClock(), terminal="S1") as south:
        south.open_run("Bo")
        south.add_piece(brass(7000), "Bo")
        south.close_run("Bo")
        with LedgerReader.open(south.path) as reader:
            gather(reader, office, Place(yard="South", terminal="S1", currency="SEK"))
    return picture(office)


def test_the_picture_holds_every_yard(two_yards: Picture) -> None:
    """Terminals, stock, runs, holds, draw-downs, downgrades in money and bias of an analyser are there."""
    assert [(one.yard, one.terminal, one.rows, one.rows_waiting) for one in two_yards.terminals] == [
        ("North", "T1", 6, 0), ("South", "S1", 3, 0),
    ]  # fmt: skip
    assert [(one.yard, one.bay, one.lying_g) for one in two_yards.stock] == [
        ("North", "HLD", 1000), ("North", "YB", 3000), ("South", "YB", 7000),
    ]  # fmt: skip
    assert [(one.run_id, one.person, one.closed_at is None) for one in two_yards.runs] == [
        ("T1-0001", "Ada", True), ("S1-0001", "Bo", False),
    ]  # fmt: skip
    assert [(one.yard, one.tag) for one in two_yards.holds] == [("North", "T1-H1")]
    assert [(one.bale, one.mass_g) for one in two_yards.draw_downs] == [("T1-YB-0001", 2000)]
    assert [(one.loss, one.currency) for one in two_yards.downgrades] == [(Decimal("12.5"), "EUR")]
    assert [(one.element, one.shots, one.bias_wt_pct) for one in two_yards.bias] == [
        ("Cu", 1, Decimal("0.3"))
    ]


def test_age_is_that_of_what_came_last(ledger: Ledger, store: Path, office: Connection) -> None:
    """What left a bay is taken to be what came first, so what lies there is as old as what came last."""
    old = Ledger.open(
        store.with_name("old.sqlite3"),
        now=SteppingClock(datetime.now(UTC) - timedelta(days=40)),
        terminal="T1",
    )
    with old:
        old.open_run("Ada")
        old.add_piece(brass(5000), "Ada")
        old.draw_down("YB", 3000, "Ada")
    new = Ledger.open(
        store.with_name("new.sqlite3"),
        now=SteppingClock(datetime.now(UTC) - timedelta(days=8)),
        terminal="T2",
    )
    with new:
        new.open_run("Ada")
        new.add_piece(brass(800), "Ada")
    for one in (old, new):
        with LedgerReader.open(one.path) as reader:
            gather(reader, office, NORTH)

    (line,) = picture(office).stock

    assert (line.lying_g, line.week_g, line.month_g, line.older_g) == (2800, 0, 800, 2000)


def test_the_report_tells_typed_text_as_text(two_yards: Picture) -> None:
    """The text keeps to its width and shows what people typed as it is; the JSON is whole."""
    text = picture_text(two_yards, 80)

    assert max(map(len, text.splitlines())) <= 80
    assert "=Harrow [b]" in text
    assert "12.50 EUR" in text
    assert json.loads(json.dumps(picture_json(two_yards)))["stock"][1]["lying_g"] == 3000


def test_what_needs_somebody_is_told(two_yards: Picture, office: Connection, store: Path) -> None:
    """A clock that is off, a bay drawn below nothing and rows that wait are told; what is well is not."""
    said = needs_of(two_yards)
    assert said == []

    with Ledger.open(store.with_name("odd.sqlite3"), now=SteppingClock(), terminal="T9") as odd:
        odd.open_run("Ada")
        odd.draw_down("CU", 100, "Ada")
        with LedgerReader.open(odd.path) as reader:
            gather(
                reader,
                office,
                replace(NORTH, terminal="T9"),
                now=lambda: datetime.now(UTC) - timedelta(days=365),
            )

    assert needs_of(picture(office)) == [
        "North T9: its clock is 365 d behind", "North CU: more was drawn down than ever tallied",
    ]  # fmt: skip


def test_an_office_that_lost_its_words_is_told(two_yards: Picture) -> None:
    """A terminal that took more words than the office has shows that the office was put back."""
    line = WordLine(yard="North", terminal="T1", said_up_to=2, taken_up_to=3, waits_since=None, untaken=())

    assert needs_of(replace(two_yards, words=(replace(line, said_up_to=3),))) == []
    (said,) = needs_of(replace(two_yards, words=(line,)))

    assert "North T1: took word 3 of the office, which has 2 only" in said


def test_a_terminals_rows_come_back_whole(two_yards: Picture, store: Path, office: Connection) -> None:
    """The store made of the office's rows holds the very rows of the terminal."""
    chain = two_yards.terminals[0].chain
    every = "SELECT * FROM ledger ORDER BY seq"

    with copied_back(office, chain) as back, LedgerReader.open(store) as own:
        assert back.connection.execute(every).fetchall() == own.connection.execute(every).fetchall()


def test_the_command_prints_picture_and_terminal(
    two_yards: Picture, yard_folder: Path, address: Address, capsys: Capture
) -> None:
    """`office --from ADDRESS` prints all yards, and with --chain the same report as on the terminal."""
    asked = ["office", "--from", address.conninfo, "--yard", str(yard_folder)]

    assert main([*asked, "--form", "text"]) == 0
    assert "South" in capsys.readouterr().out
    assert main([*asked, "--from", "2031-05-02", "--to", "2031-05-02"]) == 0
    assert len(json.loads(capsys.readouterr().out)["draw_downs"]) == 1
    assert main([*asked, "--chain", str(two_yards.terminals[1].chain)]) == 0
    report = json.loads(capsys.readouterr().out)
    assert (report["net_kg"], report["verified"]) == (7.0, "verified to row 3")
    assert main([*asked, "--chain", "99"]) == 2
    assert "has no chain 99" in capsys.readouterr().err
    assert main(["office", "--make", *asked[1:]]) == 0
    assert "already" in capsys.readouterr().out
