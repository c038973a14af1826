"""A process that is killed while it enters pieces loses none that it acknowledged."""

from pathlib import Path

from tests.console.ledger.killing import kill_often

KILLS = 8  # the benchmark `python -m tests.benchmarks ledger --kill 200` does many times as many


def test_killed_at_random_moments_nothing_acknowledged_is_lost(store: Path) -> None:
    """After every kill the store opens; in the end every acknowledged piece is there once, chain whole."""
    result = kill_often(store, kills=KILLS, seed=20310502)

    assert result.acknowledged >= KILLS
    assert (result.lost, result.doubled, result.findings) == (0, 0, 0)
    assert result.unacknowledged <= KILLS
