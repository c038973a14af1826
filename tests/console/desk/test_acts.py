"""The acts of a long shift: all can be taken back, hardly any is kept in memory."""

from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from console.desk import Desk

FAR = 64


def test_acts_far_back_come_from_the_store(yard_folder: Path, clock: Callable[[], datetime]) -> None:
    """Undo goes back through every piece of the run, though none is kept in memory."""
    desk = Desk.open(yard_folder, now=clock)
    count = FAR + 20
    for _ in range(count):
        desk.tally(desk.consider("12.4 304"))
    assert len(desk.history.done) == count

    for left in range(count - 1, -1, -1):
        desk.undo()
        assert desk.sums().entries == left
    for _ in range(count):
        desk.redo()

    assert desk.sums().entries == count
    desk.close()


def test_a_correction_is_one_act_also_far_back(yard_folder: Path, clock: Callable[[], datetime]) -> None:
    """Old and new piece of a correction are undone together."""
    desk = Desk.open(yard_folder, now=clock)
    desk.tally(desk.consider("12.4 304"))
    desk.correct(desk.consider("22.4 304"))
    for _ in range(FAR + 2):
        desk.tally(desk.consider("1 304"))
    for _ in range(FAR + 2):
        desk.undo()
    assert desk.sums().mass_g == 22_400

    desk.undo()

    assert desk.sums().mass_g == 12_400
    desk.close()
