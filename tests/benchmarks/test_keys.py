"""The search for the fewest keys counts only what the program turns into the same piece."""

from collections.abc import Callable, Iterator
from datetime import datetime
from pathlib import Path

import pytest

from console.desk import Desk
from tests.benchmarks.keys import CHECK_READS, CHECK_SAMPLE, TAB, Sorter


@pytest.fixture
def sorter(yard_folder: Path, clock: Callable[[], datetime]) -> Iterator[Sorter]:
    """A sorter at the desk of the demo yard."""
    desk = Desk.open(yard_folder, now=clock)
    yield Sorter(desk)
    desk.close()


def test_the_fewest_keys_say_the_same_and_go_by_the_pieces_before(sorter: Sorter) -> None:
    """Short forms, blanks left out, a name said before by Tab, and values in a known order."""
    lines = ("2 gunmetal casting m0", "3 cr18.2 ni8.1 fe71.3", "4 gunmetal bare", "5 cr17.9 ni8.4 fe70.8")
    found = [sorter.work(line) for line in lines]

    assert found[0].fewest == "2rotguss.c-"
    assert found[2].fewest == f"4 {TAB}+b"
    assert found[3].fewest == "5=17.9 8.4 70.8"
    assert sorter.line_of(f"4 {TAB}+b") == "4 rotguss +b"
    assert found[3].needed != found[3].fewest
    # "5=17.9 8.4 70.8" and Enter; Ctrl X for the 5; "5 17.9 8.4 70.8" and Enter.
    assert found[3].counts[1:4] == (16, 16, 16)
    assert found[0].counts[1:3] == (len("2rotguss.c-") + 1, len("rotguss.c-") + 2)


def test_another_piece_is_never_counted(sorter: Sorter) -> None:
    """Another weight, metal, finding, value, technique or bay says something else."""
    wanted = sorter._desk.consider("5 304 m0 cr18.2 ni8.1")

    for keys in ("5 304 m0 cr18.2 ni8.1", "5=18.2 8.1m0 304"):
        assert sorter._says_the_same(keys, wanted), keys
    for keys in (
        "6 304 m0 cr18.2 ni8.1",
        "5 316 m0 cr18.2 ni8.1",
        "5 304 m1 cr18.2 ni8.1",
        "5 304 m0 cr18.2",
    ):
        assert not sorter._says_the_same(keys, wanted), keys
    for more in ("libs", "stn", "x2", "?", "mn1.5"):
        assert not sorter._says_the_same(f"5 304 m0 cr18.2 ni8.1 {more}", wanted), more


def test_a_line_is_typed_until_it_is_settled(sorter: Sorter) -> None:
    """What was seen, then the reading element by element: no further than the screen says settled, which a
    reading does not while the analyser is overdue."""
    line = "5 pipe m0 cr18.2 ni8.1 fe71.3 mn1.2"
    overdue = sorter.work(line)
    sorter._desk.checks.shoot(CHECK_SAMPLE, CHECK_READS)
    checked = sorter.work(line)

    assert overdue.enough == overdue.fewest
    assert len(checked.enough) < len(checked.fewest)
    assert sorter.line_of(checked.enough) == "5 cr=18.2 ni=8.1 .t-"
    assert not checked.is_elsewhere
    # The weight is one key, and one by wire.
    assert checked.counts[4:6] == (len(checked.enough) + 1, len(checked.enough) + 1)


def test_a_reading_is_typed_as_it_is_asked_for(sorter: Sorter) -> None:
    """Its first value with the symbol unless that is asked for, then figures alone, what is not there passed
    over; the same keys typed at the desk settle the piece."""
    sorter._desk.checks.shoot(CHECK_SAMPLE, CHECK_READS)
    first = sorter.work("5 pipe m0 cr18.2 ni8.1 fe71.3 mn1.2")
    second = sorter.work("6 m2 cr22.4 ni5.4 mo3.1 fe66.8")
    bronze = sorter.work("7 wheel m0 cu85.2 al10.8 fe3.8")

    assert (first.asked, second.asked) == ("5.t-*cr18.2 8.1", "6m2*22.4 5.4")
    assert sorter.line_of(bronze.asked) == "7.h- cu=85.2 al=10.8 fe=3.8"
    assert "- " in bronze.asked
    assert not (first.is_asked_elsewhere or second.is_asked_elsewhere or bronze.is_asked_elsewhere)
    assert first.counts[6:8] == (len(first.asked) + 1, len(first.asked) + 1)
