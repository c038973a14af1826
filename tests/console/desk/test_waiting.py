"""Readings wait for their piece, in order, and none is lost or read twice."""

from collections.abc import Callable, Iterator
from datetime import datetime
from pathlib import Path

import pytest

from console.desk import DeskRefusal
from console.ledger.keeping.backup import backup
from tests.console.desk.dropping import HEADER, Bench

THREE = HEADER + "A1,18.2,8.1,\nA2,17.1,10.9,\nA3,16.4,0.2,\n"


@pytest.fixture
def bench(yard_folder: Path, clock: Callable[[], datetime]) -> Iterator[Bench]:
    opened = Bench(yard_folder, clock)
    yield opened
    opened.desk.close()


def test_readings_come_in_order_and_go_with_their_pieces(bench: Bench) -> None:
    """The key puts the first; its piece holds it; the next is the second."""
    bench.drop(THREE)
    assert bench.waiting() == ["A1", "A2", "A3"]

    line = bench.put("12.4")
    assert line == "12.4 cr=18.2 ni=8.1 "
    bench.desk.tally(bench.desk.consider(line))

    assert bench.waiting() == ["A2", "A3"]
    assert bench.in_ledger() == ["A1"]
    assert bench.put("3") == "3 cr=17.1 ni=10.9 "


def test_pressed_again_it_puts_the_one_after_it(bench: Bench) -> None:
    """Pieces do not lie there in the order of the shots: each waiting one can be had, round and round."""
    bench.drop(THREE)
    bench.look()

    lines = [line := bench.put("12.4 ; gate 3")]
    for _ in range(3):
        lines.append(line := bench.put(line))

    assert [line.split()[1] for line in lines] == ["cr=18.2", "cr=17.1", "cr=16.4", "cr=18.2"]
    assert all(line.startswith("12.4 cr=") and line.endswith(" ; gate 3") for line in lines)
    assert bench.waiting() == ["A2", "A3"]


def test_a_reading_changed_by_hand_is_not_swapped(bench: Bench) -> None:
    """What somebody corrected on the line is not taken off by a key; tallied, the piece holds the reading."""
    bench.drop(THREE)
    bench.look()
    line = bench.put("12.4").replace("18.2", "18.4")
    bench.desk.readings.follow(line)

    with pytest.raises(DeskRefusal, match="changed by hand"):
        bench.put(line)
    bench.desk.tally(bench.desk.consider(line))

    assert bench.in_ledger() == ["A1"]
    assert bench.waiting() == ["A2", "A3"]


def test_a_reading_taken_off_the_line_waits_again(bench: Bench) -> None:
    """A line that was cleared takes no reading with it, whatever is typed next."""
    bench.drop(THREE)
    bench.look()
    bench.desk.readings.follow(bench.put("12.4"))
    bench.desk.readings.follow("")
    bench.desk.readings.follow("7 cr18.2 ni8.1")

    bench.desk.tally(bench.desk.consider("7 cr18.2 ni8.1"))

    assert bench.in_ledger() == []
    assert bench.waiting() == ["A1", "A2", "A3"]


def test_shots_on_one_piece_go_together(bench: Bench) -> None:
    """A surface shot and a ground one are put as two shots, and tallied with both rows."""
    bench.drop(HEADER + "T,14,77,no\nT,0.3,0.2,yes\nU,18,8,no\n")

    assert bench.waiting() == ["T", "U"]
    line = bench.put("2")
    assert line == "2 ni=77 cr=14 // cr=0.3 ni=0.2 "
    shots = bench.desk.consider(line).parsed.facts.shots
    assert [shot.is_ground for shot in shots] == [False, True]
    bench.desk.tally(bench.desk.consider(line))

    bench.restart()
    assert bench.waiting() == ["U"]


def test_a_shot_that_comes_later_is_added_to_its_piece(bench: Bench) -> None:
    """The file grows while the first shot stands on the line: the key adds the second to it."""
    bench.drop(HEADER + "T,14,77,no\n")
    bench.look()
    line = bench.put("2")
    bench.drop(HEADER + "T,14,77,no\nT,0.3,0.2,yes\nU,18,8,no\n")
    bench.look()

    line = bench.put(line)

    assert line == "2 ni=77 cr=14 // cr=0.3 ni=0.2 "
    bench.desk.tally(bench.desk.consider(line))
    assert bench.waiting() == ["U"]


def test_after_a_shot_mark_the_next_reading_is_a_further_shot(bench: Bench) -> None:
    """Who begins a further shot gets the next reading as that, whatever the file calls its piece."""
    bench.drop(THREE)
    bench.look()
    line = bench.put(bench.put("2").rstrip() + " //")

    assert line == "2 cr=18.2 ni=8.1 // cr=17.1 ni=10.9 "
    bench.desk.tally(bench.desk.consider(line))
    assert bench.waiting() == ["A3"]
    assert bench.in_ledger() == ["A1", "A2"]


def test_beside_a_reading_typed_by_hand_it_is_a_further_shot(bench: Bench) -> None:
    """A reading from a file beside a typed one becomes a second shot."""
    bench.drop(THREE)
    bench.look()

    assert bench.put("2 cr18 ni8") == "2 cr18 ni8 / cr=18.2 ni=8.1 "


def test_technique_and_bench_columns_come_through(bench: Bench) -> None:
    """What the rows say of technique, magnet and surface stands on the line and in the facts."""
    bench.drop("piece,technique,magnet,surface,Cr,Ni\nL,lab,none,oily,18.2,8.1\n")
    bench.look()

    line = bench.put("2")

    assert line == "2 m0 +o cr=18.2 ni=8.1 lab "
    parsed = bench.desk.consider(line).parsed
    assert parsed.problems == ()
    assert parsed.facts.shots[0].reading.technique == "lab"


def test_shots_by_two_techniques_are_two_readings(bench: Bench) -> None:
    """A line says one technique: the second is not swapped in under the first one's name, nor added to it."""
    bench.drop("piece,technique,Cr,Ni\nP,xrf,18.2,8.1\nP,lab,18.0,8.2\n")
    bench.look()
    line = bench.put("2")
    assert line == "2 cr=18.2 ni=8.1 "

    with pytest.raises(DeskRefusal, match="one technique"):
        bench.put(line + "/ ")
    assert bench.put(line) == "2 cr=18 ni=8.2 lab "
    bench.tally()
    bench.tally()

    assert bench.waiting() == []


def test_a_long_series_is_offered_in_parts_that_fit(bench: Bench) -> None:
    """Twenty shots of ten elements are no single line; every shot comes, once."""
    symbols = ["Fe", "Cr", "Ni", "Mo", "Mn", "Cu", "Si", "Ti", "V", "Co"]
    rows = [f"P,{','.join(f'{shot + n / 10:.3f}' for n in range(10))}" for shot in range(1, 10)]
    bench.drop(f"piece,{','.join(symbols)}\n" + "\n".join(rows) + "\n")
    bench.look()
    shots = []
    while bench.desk.readings.waiting():
        considered = bench.desk.consider(bench.put("2"))
        assert considered.parsed.problems == ()
        bench.desk.tally(considered)
        shots += considered.parsed.facts.shots
        bench.desk.readings.follow("")

    assert [shot.reading.values["Fe"] for shot in shots] == [float(n) for n in range(1, 10)]


def test_undo_offers_it_again_and_redo_takes_it_again(bench: Bench) -> None:
    """F4 and F5, again and again; the one taken back comes first."""
    bench.drop(THREE)
    bench.look()
    bench.tally()
    for _ in range(2):
        bench.desk.undo()
        assert bench.waiting() == ["A1", "A2", "A3"]
        bench.desk.redo()
        assert bench.waiting() == ["A2", "A3"]


def test_undo_of_a_piece_of_the_last_sitting(bench: Bench) -> None:
    """The ledger kept enough to offer it again, also when its file is gone; and a restart offers it once."""
    bench.drop(THREE)
    bench.look()
    bench.tally()
    bench.restart()
    assert bench.waiting() == ["A2", "A3"]
    (bench.folder / "a.csv").rename(bench.folder / "a.away")

    bench.desk.undo()

    assert bench.waiting() == ["A1", "A2", "A3"]
    assert bench.put("2") == "2 cr=18.2 ni=8.1 "
    (bench.folder / "a.away").rename(bench.folder / "a.csv")
    bench.restart()
    assert bench.waiting() == ["A1", "A2", "A3"]


def test_a_void_in_the_review_offers_it_again(bench: Bench) -> None:
    """A piece voided in the review gives its reading back to the queue."""
    bench.drop(THREE)
    bench.look()
    bench.tally()

    bench.desk.review.void(bench.desk.review.pieces()[0].row_id, "typed twice")

    assert bench.waiting() == ["A1", "A2", "A3"]


@pytest.mark.parametrize("change", [("2 ", "2.5 "), ("18.2", "18.3")])
def test_a_correction_keeps_the_reading(bench: Bench, change: tuple[str, str]) -> None:
    """The line of the last piece, changed, takes its place with the same reading; undo and redo follow."""
    bench.drop(THREE)
    bench.look()
    bench.tally()
    last = bench.desk.review.last_piece()
    assert last is not None

    bench.desk.correct(bench.desk.consider(last.line.replace(*change, 1)))

    for _ in range(2):
        assert bench.waiting() == ["A2", "A3"]
        assert bench.in_ledger() == ["A1"]
        bench.desk.undo()
        assert bench.waiting() == ["A2", "A3"]
        assert bench.in_ledger() == ["A1"]
        bench.desk.redo()
    bench.restart()
    assert bench.waiting() == ["A2", "A3"]


def test_a_correction_without_the_reading_gives_it_back(bench: Bench) -> None:
    """The wrong reading was put to the piece: it waits for the right one."""
    bench.drop(THREE)
    bench.look()
    bench.tally()

    bench.desk.correct(bench.desk.consider("2 304"))

    assert bench.waiting() == ["A1", "A2", "A3"]
    assert bench.in_ledger() == []


def test_same_again_takes_no_reading(bench: Bench) -> None:
    """A second shot that read alike to the last digit belongs to another piece and still waits."""
    bench.drop(HEADER + "A1,18.2,8.1,\nA2,18.2,8.1,\n")
    bench.look()
    bench.tally()

    bench.desk.same_again(bench.desk.consider("3"))

    assert bench.waiting() == ["A2"]


def test_readings_that_read_alike_are_counted_one_by_one(bench: Bench) -> None:
    """Three equal readings are three, and each tally takes one."""
    bench.drop(HEADER + "A1,18.2,8.1,\nA2,18.2,8.1,\nA3,18.2,8.1,\n")
    bench.look()
    for left in (["A2", "A3"], ["A3"], []):
        bench.tally()
        assert bench.waiting() == left


def test_a_half_typed_line_of_last_time_still_bears_its_reading(bench: Bench) -> None:
    """A restart with the reading on the line: it is found there, and not offered beside it."""
    bench.drop(THREE)
    bench.look()
    line = bench.put("2")
    bench.restart()
    bench.look()
    bench.desk.readings.follow(line)

    assert [one.piece for one in bench.desk.readings.on_line] == ["A1"]
    bench.desk.tally(bench.desk.consider(line))
    assert bench.waiting() == ["A2", "A3"]


def test_set_aside_with_a_reason_and_back(bench: Bench) -> None:
    """It waits no more, over restarts; the handover says why; undo lets it wait again."""
    bench.drop(THREE)
    bench.look()
    first = bench.desk.readings.waiting()[0]
    with pytest.raises(DeskRefusal, match="few words"):
        bench.desk.set_aside(first, "  ")

    bench.desk.set_aside(first, "shot on the table")

    assert bench.waiting() == ["A2", "A3"]
    assert bench.desk.sums().notes == ("reading of A1 (a.csv, line 2) set aside: shot on the table",)
    bench.restart()
    assert bench.waiting() == ["A2", "A3"]
    bench.desk.undo()
    assert bench.waiting() == ["A1", "A2", "A3"]
    bench.restart()
    assert bench.waiting() == ["A1", "A2", "A3"]


def test_nothing_waits(bench: Bench) -> None:
    """An empty queue, and a reading that stands on the line already, are refused in words."""
    with pytest.raises(DeskRefusal, match="No reading waits"):
        bench.put("2")
    bench.drop(HEADER + "A1,18.2,8.1,\n")
    bench.look()
    line = bench.put("2")
    with pytest.raises(DeskRefusal, match="of A1 stands on the line already"):
        bench.put(line)


def test_a_line_without_room_is_left_as_it_is(bench: Bench) -> None:
    """A reading that does not fit on the line is refused, not cut."""
    bench.drop(THREE)
    bench.look()
    with pytest.raises(DeskRefusal, match="no room"):
        bench.put("2 " + "m0 " * 330)


def test_what_a_closed_run_left_waits_in_the_next(bench: Bench) -> None:
    """Readings that nobody took wait on in the next run."""
    bench.drop(THREE)
    bench.look()
    bench.tally()
    bench.desk.closing.close_run("no ticket today")

    bench.restart()

    assert bench.waiting() == ["A2", "A3"]


def test_a_store_put_back_to_an_older_state_offers_what_it_no_longer_holds(
    bench: Bench, tmp_path: Path
) -> None:
    """The journal knows of pieces that the restored store has lost: their readings wait again."""
    bench.drop(THREE)
    bench.look()
    bench.tally()
    bench.look()
    copy = backup(bench.desk.ledger.path, tmp_path)
    bench.tally()
    assert bench.waiting() == ["A3"]
    bench.desk.close()
    bench.desk.ledger.path.write_bytes(copy.read_bytes())

    bench.start(go_on=True)

    assert bench.waiting() == ["A2", "A3"]
