"""Sorting, narrowing and summing the pieces of the review."""

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from console.drawing.review_order import Listed, Order, SortBy, in_order, listed, review_sums
from console.ledger.rows.correction import Correction
from console.ledger.rows.mark import Mark
from console.ledger.rows.rows import PieceState
from console.panes.run.review_list import heads, row_text

NOON = datetime(2026, 3, 2, 12, 0, tzinfo=UTC)


def row(seq: int, *, is_earlier: bool = False, **changed: object) -> Listed:
    """Return a listed piece; a later one has a higher number."""
    values: dict[str, object] = {
        "bay": "AXC", "grade_id": "6063", "mass_g": 1000 * seq, "person": "Ilse", "sureness": "settled",
        "tag": None, "is_void": False, "is_held": False, "is_override": False, "corrections": (),
    } | changed  # fmt: skip
    piece = PieceState(
        row_id=f"r{seq:03d}",
        seq=seq,
        run_id="T1-0001",
        at_utc=NOON + timedelta(minutes=seq),
        pieces=1,
        line=str(values.pop("line", f"{seq} 6063")),
        note="",
        **values,  # type: ignore[arg-type]
    )
    return listed(piece, "kg", is_earlier=is_earlier)


MOVED = Correction(
    row=Mark(6, "r006", "move", "", "Ada", "r005", "AXC", None, None, None, None, {"reason": "why"}),
    was_bay="CLN",
    was_g=1000,
    was_pieces=1,
)
ROWS = [
    row(1, bay="YBR", grade_id=None, sureness="open", person="marit"),
    row(2, bay="HLD", is_held=True, tag="H001", sureness="open"),
    row(3, bay="AXC", is_void=True, sureness="leaning"),
    row(4, bay="CUB", is_override=True, mass_g=500, person="Jory"),
    row(5, bay="AXC", corrections=(MOVED,), sureness=""),
]


@pytest.mark.parametrize(
    ("sort_by", "wanted"),
    [
        (SortBy.TIME, [5, 4, 3, 2, 1]),
        (SortBy.BAY, [5, 3, 4, 2, 1]),
        (SortBy.GRADE, [5, 4, 3, 2, 1]),
        (SortBy.STATE, [2, 4, 5, 1, 3]),
        (SortBy.DOUBT, [2, 1, 5, 3, 4]),
        (SortBy.PERSON, [5, 3, 2, 4, 1]),
        (SortBy.WEIGHT, [5, 3, 2, 1, 4]),
    ],
)
def test_every_column_sorts_and_turns(sort_by: SortBy, wanted: list[int]) -> None:
    """Equal pieces stay newest first; turned is exactly the other way round."""
    found = [one.piece.seq for one in in_order(ROWS, Order(sort_by=sort_by))]
    turned = [one.piece.seq for one in in_order(ROWS, Order(sort_by=sort_by, is_turned=True))]

    assert found == wanted
    assert turned == wanted[::-1]


def test_holds_come_first_with_those_of_earlier_runs_after_them() -> None:
    """Earlier runs' holds are listed only when holds are asked for, after the run's own."""
    rows = [*ROWS, row(0, bay="HLD", is_held=True, tag="H000", is_earlier=True)]

    assert [one.piece.seq for one in in_order(rows, Order(holds_first=True))][:3] == [2, 0, 5]
    assert 0 not in [one.piece.seq for one in in_order(rows, Order())]


@pytest.mark.parametrize(
    ("typed", "wanted"),
    [
        ("ybr", [1]),
        ("h001", [2]),
        ("void", [3]),
        ("MARIT open", [1]),
        ("chosen", [4]),
        (ROWS[4].time, [5]),
        ("zz", []),
    ],
)
def test_words_narrow_by_any_column(typed: str, wanted: list[int]) -> None:
    """Every word has to stand in some column; upper and lower case are alike."""
    assert [one.piece.seq for one in in_order(ROWS, Order(typed=typed))] == wanted


def test_sums_leave_out_void_pieces_and_earlier_runs() -> None:
    """Entries, weight, holds and void ones of the run."""
    sums = review_sums([*ROWS, row(9, is_earlier=True, is_held=True)])

    assert (sums.entries, sums.mass_g, sums.held, sums.void) == (4, 8500, 1, 1)


@given(
    st.permutations(range(5)), st.sampled_from(list(SortBy)), st.booleans(), st.sampled_from(["", "axc", "e"])
)
def test_the_order_does_not_depend_on_how_the_rows_came(
    shuffled: list[int], sort_by: SortBy, is_turned: bool, typed: str
) -> None:
    """Pages may arrive in any order."""
    order = Order(sort_by=sort_by, is_turned=is_turned, typed=typed)

    assert in_order([ROWS[at] for at in shuffled], order) == in_order(ROWS, order)


def test_the_key_goes_through_every_column_once() -> None:
    """Seven presses lead back to time."""
    seen, at = [], SortBy.TIME
    for _ in SortBy:
        seen.append(at)
        at = at.next

    assert sorted(seen) == sorted(SortBy) and at is SortBy.TIME


@pytest.mark.parametrize("width", [76, 106, 156])
@pytest.mark.parametrize("sort_by", [SortBy.TIME, SortBy.PERSON])
def test_heads_stand_over_their_columns(width: int, sort_by: SortBy) -> None:
    """The state column begins where its head does; the person is there if there is room for it."""
    head, text = heads("kg", width, sort_by), "  " + row_text(ROWS[1], width, sort_by)

    assert head.index("state") == text.index("hold H001")
    assert head.index("bay") == text.index("HLD")
    assert ("person" in head) == ("Ilse" in text) == (width >= 100 or sort_by is SortBy.PERSON)


def test_each_key_changes_its_own_part_of_the_order() -> None:
    """The next column, turned, holds first: one thing each, and twice is back."""
    order = Order()

    assert order.reordered("sort") == Order(sort_by=SortBy.TIME.next)
    assert order.reordered("turn") == Order(is_turned=True)
    assert order.reordered("holds") == Order(holds_first=True)
    assert order.reordered("holds").reordered("holds") == order.reordered("turn").reordered("turn") == order


@pytest.mark.parametrize(("width", "called"), [(78, "copper"), (108, "C11000 or C12200")])
def test_twins_without_room_stand_by_their_class(width: int, called: str) -> None:
    """Cut, "C11000 or ..." would read as one grade; what fits stands as it is."""
    twins = row(1, grade_id="C11000", twins=("C12200",), line="bar")

    assert f"AXC  {called} " in row_text(twins, width, SortBy.TIME)
    assert "AXC  6063 " in row_text(row(1), width, SortBy.TIME)


@pytest.mark.parametrize("width", [78, 108, 158])
def test_the_weight_of_a_void_piece_is_in_no_sum(width: int) -> None:
    """It stands beside the word VOID; the columns of weight and pieces have none."""
    text = row_text(row(1234, is_void=True, line=""), width, SortBy.TIME).split()

    assert text[1:3] == ["\u00b7", "\u00b7"]
    assert text[-2:] == ["VOID", "1234.00"]
