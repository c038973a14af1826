"""A trial of the office needs nothing but its wheel."""

import json

import pytest

from console.cli import main


def test_the_trial_shows_three_yards(capsys: pytest.CaptureFixture[str]) -> None:
    """Three invented yards are sorted, gathered and shown, and nothing is left behind."""
    assert main(["office", "--trial"]) == 0

    shown = json.loads(capsys.readouterr().out)
    assert [one["terminal"] for one in shown["terminals"]] == ["M1", "Q1", "W1"]
    assert {one["state"] for one in shown["terminals"]} == {"in step"}
    assert len(shown["holds"]) >= 2
    assert sum(one["entries"] for one in shown["stock"]) == 16
