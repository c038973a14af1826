"""What the desk learns from its own ledger."""

from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from console.desk import Desk
from console.ledger.rows.queries import kept_evidence

VAGUE = "1.0 m0 ky"


def share_of(desk: Desk, family: str) -> float:
    candidates = desk.consider(VAGUE).verdict.candidates
    return sum(c.probability for c in candidates if c.grade.family == family)


def test_closed_runs_teach_the_yards_own_frequencies(
    yard_folder: Path, clock: Callable[[], datetime]
) -> None:
    """A yard that keeps meeting tin brass comes to expect it; an open run teaches nothing yet."""
    first = Desk.open(yard_folder, now=clock)
    before = share_of(first, "tin brass")
    for _ in range(60):
        first.tally(first.consider("1.0 c46400 cu60.3 zn38.9 sn0.8"))
    first.checks.learn()
    assert share_of(first, "tin brass") == before
    first.closing.close_run("no ticket: the scale is being repaired")
    first.close()

    second = Desk.open(yard_folder, now=clock)

    assert share_of(second, "tin brass") > 1.5 * before
    assert share_of(second, "leaded brass") > 0.02
    second.close()


def test_check_shot_out_of_control_widens_readings_and_is_kept_with_the_piece(
    yard_folder: Path, clock: Callable[[], datetime]
) -> None:
    """While the analyser is out of control readings count less, and the ledger says so with the piece."""
    desk = Desk.open(yard_folder, now=clock)
    line = "1.0 cr18.2 ni8.1 mn1.5 fe71.3"
    sure = desk.consider(line).verdict.unlisted
    desk.checks.shoot("316 coupon", "cr19.9 ni12.9 mo2.9")

    tallied = desk.tally(desk.consider(line))

    kept = kept_evidence(desk.ledger, tallied.row.row_id)
    assert "316 coupon" in str(kept["doubts"])
    assert desk.consider(line).verdict.unlisted != sure
    desk.undo()
    desk.undo()
    assert desk.known.doubts == ()
    desk.close()
