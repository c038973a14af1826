"""The console itself is killed while pieces are typed: what its screen said is there, once."""

from pathlib import Path

from tests.driven.killing_console import kill_console_often

KILLS = 2  # `python -m tests.benchmarks ledger --console-kill 200` does a hundred times as many


def test_every_piece_on_the_screen_is_there_once_after_the_kill(yard: Path) -> None:
    """Started again after every kill, the console goes on with all it had acknowledged, chain whole."""
    result = kill_console_often(yard, kills=KILLS, seed=20261125)

    assert result.acknowledged >= 1
    assert (result.lost, result.doubled, result.strange) == (0, 0, 0)
    assert (result.forgotten, result.findings) == (0, 0)
    assert result.before_enter + result.in_flight + result.after_answer == KILLS
