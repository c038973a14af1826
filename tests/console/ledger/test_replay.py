"""One replay: whatever was done, undone and done again, every view of the ledger says the same."""

from collections import Counter
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

from hypothesis import given, settings
from hypothesis import strategies as st

from console.desk.piece.learning import counts_of_closed_runs
from console.desk.refusals import DeskRefusal
from console.desk.run_pages import changed_since, page_of
from console.desk.undo.history import History
from console.ledger.keeping.store import Ledger
from console.ledger.rows.errors import LedgerRefusal
from console.ledger.rows.rows import PieceState
from console.ledger.views.bay_changes import BayChanges
from console.ledger.views.bay_metal import bay_metal
from console.ledger.views.contradictions import record_of
from console.ledger.views.latest import entered_before, latest_pieces
from console.ledger.views.lying import lying_now
from console.ledger.views.period import GroupBy, pieces_between, totals_by
from console.ledger.views.piece_state import piece_state, piece_states, waiting_pieces
from console.ledger.views.stock import stock
from console.ledger.views.tally import tally, tally_since
from console.yard.yard import Bay, Scale, Yard
from grade_library.library import load
from tests.console.ledger.clock import START, brass, open_ledger, words_of
from tests.console.ledger.test_tally import BAYS

RUN = "T1-0001"
LATER = START + timedelta(days=365)
LIBRARY = load()
YARD = Yard(
    folder=Path("."),
    name="Lowfield Yard",
    weight_unit="kg",
    currency="EUR",
    bays=tuple(
        Bay(code=code, name=code, accepts=(), grade_ids=frozenset({"C36000"}), is_hold=code == "HO")
        for code in BAYS
    ),
    people=("Ada",),
    piece_scale=Scale(name="bench", division_g=10, largest_g=60_000),
    ticket_scale=Scale(name="platform", division_g=1000, largest_g=60_000_000),
)
KINDS = (
    "add", "add", "hold", "void", "unvoid", "move", "onto hold", "reweigh", "resolve", "draw",
    "undo", "undo", "redo",
)  # fmt: skip
Act = tuple[str, int, int]
NUMBERS = (st.integers(0, 30), st.integers(1, 5000))
ACTS = st.lists(st.tuples(st.sampled_from(KINDS), *NUMBERS), max_size=40)


def do(ledger: Ledger, history: History, act: Act) -> None:
    """Do one act of a random history, so that it can be undone."""
    name, number, amount = act
    if name in ("undo", "redo"):
        (history.undo if name == "undo" else history.redo)(ledger, "Ada")
        return
    pieces, bay = piece_states(ledger, RUN), BAYS[amount % 3]
    if name == "draw":
        history.record(ledger.draw_down(bay, amount, "Ada"))
        return
    if name in ("add", "hold") or not pieces:
        tag = ledger.next_tag() if name == "hold" else None
        piece = brass(amount, bay="HO" if tag else bay, pieces=number % 4 + 1, tag=tag)
        history.record(ledger.add_piece(piece, "Ada"))
        return
    row_id, why = pieces[number % len(pieces)].row_id, ("why", "Ada")
    acts = {
        "void": lambda: ledger.void(row_id, *why),
        "unvoid": lambda: ledger.unvoid(row_id, *why),
        "move": lambda: ledger.move(row_id, bay, *why),
        "onto hold": lambda: ledger.move(row_id, "HO", *why, tag=ledger.next_tag()),
        "reweigh": lambda: ledger.reweigh(row_id, amount, *why, pieces=number % 3 + 1),
        "resolve": lambda: ledger.resolve(row_id, bay, *why, grade_id=(None, "C23000", "C36000")[number % 3]),
    }
    history.record(acts[name]())


def lived_through(ledger: Ledger, acts: list[Act], history: History | None = None) -> History:
    """Do a random history; what makes no sense is refused and leaves no row."""
    history = history or History.of_run(ledger, RUN)
    for act in acts:
        try:
            do(ledger, history, act)
        except (LedgerRefusal, DeskRefusal):
            continue
    return history


def batched(acts: list[Act], size: int) -> Iterator[list[Act]]:
    """Yield the acts so many at a time."""
    return (acts[at : at + size] for at in range(0, len(acts), size))


def masses(pieces: list[PieceState]) -> dict[str, int]:
    """Return what stands in each bay [g], added up piece by piece."""
    sums = Counter[str]()
    for piece in pieces:
        if not piece.is_void:
            sums[piece.bay] += piece.mass_g
    return dict(sums)


@settings(max_examples=40, deadline=None)
@given(
    acts=st.lists(st.tuples(st.sampled_from(("add",) * 20 + ("hold",) * 4 + KINDS), *NUMBERS), max_size=40)
)
def test_a_tally_that_is_followed_is_the_tally(acts: list[Act]) -> None:
    """Whatever comes after a tally, following it gives what adding up anew does."""
    with TemporaryDirectory() as folder, open_ledger(Path(folder) / "yard.sqlite3") as ledger:
        ledger.open_run("Ada")
        history, sums = History.of_run(ledger, RUN), tally(ledger, RUN)
        for few in batched(acts, 2):
            lived_through(ledger, few, history)
            sums = tally_since(ledger, sums)
            assert sums == tally(ledger, RUN)


@settings(max_examples=60, deadline=None)
@given(acts=ACTS)
def test_all_views_agree_after_any_history(acts: list[Act]) -> None:
    """Piece by piece, by bay, by grade, by dates, as stock, as metal and as a record: one and the same."""
    with TemporaryDirectory() as folder, open_ledger(Path(folder) / "yard.sqlite3") as ledger:
        ledger.open_run("Ada")
        empty, begun = bay_metal(ledger, YARD, LIBRARY), 1
        lived_through(ledger, acts)
        pieces, sums = piece_states(ledger, RUN), tally(ledger, RUN)
        standing = [piece for piece in pieces if not piece.is_void]
        by_bay = masses(pieces)

        assert {bay.bay: bay.mass_g for bay in sums.bays} == by_bay
        assert {one.name: one.mass_g for one in totals_by(pieces_between(ledger), GroupBy.BAY)} == by_bay
        assert entered_before(ledger, RUN, LATER) == (sum(by_bay.values()), None)
        assert [piece_state(ledger, piece.row_id) for piece in pieces] == pieces
        assert page_of(ledger, RUN, 1000) == pieces[::-1] == list(latest_pieces(ledger, RUN, 1000))
        assert sorted(one.seq for one in changed_since(ledger, 0)) == [one.seq for one in pieces]
        assert waiting_pieces(ledger) == [piece for piece in standing if piece.is_held] == list(sums.holds)
        record = record_of(ledger, YARD)
        assert record.placed.entries + record.held == len(standing)
        drawn = Counter[str]()
        for one in sums.draw_downs:
            drawn[one.bay] += one.mass_g
        left = {bay: mass_g for bay in BAYS if (mass_g := by_bay.get(bay, 0) - drawn[bay])}
        assert {one.bay: one.closing_g for one in stock(ledger) if one.closing_g} == left
        assert {bay: mass_g for bay, mass_g in lying_now(ledger).items() if mass_g} == left
        fresh = bay_metal(ledger, YARD, LIBRARY)
        for code in BAYS:
            if not drawn[code]:
                assert round(fresh[code].mass_g) == by_bay.get(code, 0)
        followed = BayChanges(ledger, YARD, LIBRARY, empty, begun)
        if followed.follow(rows_after(ledger, begun)):
            assert {code: round(one.mass_g) for code, one in followed.sums.items()} == {
                code: round(one.mass_g) for code, one in fresh.items()
            }
        ledger.close_run("Ada")
        assert counts_of_closed_runs(ledger) == Counter(one.grade_id for one in standing if one.grade_id)


def rows_after(ledger: Ledger, seq: int) -> list[object]:
    """Return the rows that were written since."""
    from console.ledger.rows.queries import rows_where

    return list(rows_where(ledger, "seq > ?", (seq,)))


@settings(max_examples=40, deadline=None)
@given(acts=ACTS)
def test_undoing_all_and_doing_it_again_changes_nothing(acts: list[Act]) -> None:
    """Undone to the beginning nothing is told of any piece; done again every piece stands as it stood."""
    with TemporaryDirectory() as folder, open_ledger(Path(folder) / "yard.sqlite3") as ledger:
        ledger.open_run("Ada")
        history = lived_through(ledger, acts)
        before, lying = piece_states(ledger, RUN), lying_now(ledger)

        count = 0
        while history.done:
            history.undo(ledger, "Ada")
            count += 1
        undone = piece_states(ledger, RUN)
        for _ in range(count):
            history.redo(ledger, "Ada")

        assert all(one.is_void and one.corrections == () for one in undone)
        assert lying_now(ledger) == lying
        assert [said(one) for one in piece_states(ledger, RUN)] == [said(one) for one in before]


def said(piece: PieceState) -> tuple[object, ...]:
    """Return what is said of a piece, tags left out: a piece that is held again gets its old one."""
    return (
        piece.bay,
        piece.grade_id,
        piece.mass_g,
        piece.pieces,
        piece.is_void,
        piece.is_held,
        words_of(piece),
    )


def test_a_void_that_was_taken_back_counts_again_everywhere(ledger: Ledger) -> None:
    """Twelve kilograms that were voided and taken back are twelve kilograms in every view."""
    row = ledger.add_piece(brass(12_000), "Ada")
    ledger.void(row.row_id, "twice", "Ada")
    ledger.unvoid(row.row_id, "it was right", "Ada")

    assert entered_before(ledger, RUN, LATER)[0] == tally(ledger, RUN).mass_g == 12_000


def test_the_pace_counts_weights_as_they_stand(ledger: Ledger) -> None:
    """A weight that was mended after midnight counts as mended, as in the tally."""
    row = ledger.add_piece(brass(1_000), "Ada")
    midnight = row.at_utc + timedelta(milliseconds=1)
    ledger.reweigh(row.row_id, 1_500, "slipped digit", "Ada")
    later = ledger.add_piece(brass(200), "Ada")

    assert entered_before(ledger, RUN, midnight) == (1_500, later.at_utc)


def test_a_resolve_that_was_undone_names_nothing(ledger: Ledger) -> None:
    """What was known of a held piece counts again once its resolve was taken back, also under one name."""
    row = ledger.add_piece(brass(bay="HO", tag=ledger.next_tag()), "Ada")
    history = History.of_run(ledger, RUN)
    history.record(
        ledger.resolve(
            row.row_id, "YB", "shot", "Ada", grade_id="C36000", sureness="settled", twins=("C37700",)
        )
    )
    assert waiting_pieces(ledger) == []

    history.undo(ledger, "Ada")

    (held,) = waiting_pieces(ledger)
    assert held.twins == ()
    assert held.corrections == ()


def test_words_speak_the_unit_of_the_yard(ledger: Ledger) -> None:
    """A mended weight is told in the unit of whoever reads it."""
    row = ledger.add_piece(brass(1_000), "Ada")
    ledger.reweigh(row.row_id, 2_000, "slipped digit", "Ada", pieces=2)

    piece = piece_state(ledger, row.row_id)

    assert piece is not None
    assert words_of(piece, "lb") == ("weight 2.20 -> 4.41 lb, count 1 -> 2: slipped digit (Ada)",)


def test_a_late_correction_that_was_undone_is_none(ledger: Ledger) -> None:
    """The tally of a closed run counts the late corrections that its pieces tell of, and no others."""
    row = ledger.add_piece(brass(), "Ada")
    ledger.close_run("Ada")
    moved = ledger.move(row.row_id, "RB", "late", "Ben")
    history = History([moved], lambda seq: moved)
    assert tally(ledger, RUN).late_corrections == 1

    history.undo(ledger, "Ben")

    assert tally(ledger, RUN).late_corrections == 0
    assert not any(piece.is_corrected_late for piece in piece_states(ledger, RUN))
