"""Kilograms an hour, by hand: the mass of today over the hours since today's first piece."""

from datetime import UTC, datetime, timedelta
from types import SimpleNamespace
from typing import cast

import pytest

from console.desk import Desk, pace
from console.desk.pace import Pace

FIRST = datetime(2031, 5, 2, 6, 0, tzinfo=UTC)


def rate(monkeypatch: pytest.MonkeyPatch, minutes: float, grams: int, first: datetime | None) -> float | None:
    """The rate so many minutes after the first piece of the day, 40 kg of the run being of the day before."""
    asked: list[datetime] = []

    def before(_ledger: object, _run_id: str, day: datetime) -> tuple[int, datetime | None]:
        asked.append(day)
        return 40_000, first

    monkeypatch.setattr(pace, "entered_before", before)
    desk = SimpleNamespace(
        now=lambda: FIRST + timedelta(minutes=minutes), ledger=None, run=lambda: SimpleNamespace(run_id="R")
    )
    one = Pace(cast(Desk, desk))
    found = one.grams_per_hour(grams)
    assert one.grams_per_hour(grams) == found
    assert len(asked) == (1 if first else 2)
    return found


def test_the_rate_is_of_today(monkeypatch: pytest.MonkeyPatch) -> None:
    """130 kg in the run less 40 kg of the day before, in 45 minutes: 120 kg/h; asked of the ledger once."""
    assert rate(monkeypatch, 45.0, 130_000, FIRST) == pytest.approx(120_000.0)


def test_no_rate_is_told_too_early(monkeypatch: pytest.MonkeyPatch) -> None:
    """None in the first ten minutes and without a piece; none below zero where pieces were taken back."""
    assert rate(monkeypatch, 9.9, 130_000, FIRST) is None
    assert rate(monkeypatch, 10.0, 130_000, FIRST) == pytest.approx(540_000.0)
    assert rate(monkeypatch, 45.0, 130_000, None) is None
    assert rate(monkeypatch, 45.0, 30_000, FIRST) == 0.0
