"""Pieces that come back for a second look."""

import json
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import datetime
from pathlib import Path

import pytest

from console.cli import main
from console.desk import Desk, DeskRefusal
from console.ledger.views.rechecks import rechecks_done, rechecks_drawn
from console.yard.rechecks.chosen import RecheckSettings, is_chosen


@pytest.fixture
def desk(yard_folder: Path, clock: Callable[[], datetime]) -> Iterator[Desk]:
    """A desk of which every piece comes back."""
    opened = Desk.open(yard_folder, now=clock)
    opened.yard = replace(opened.yard, recheck=RecheckSettings(share=1.0))
    yield opened
    opened.close()


def test_a_drawn_piece_is_set_aside_with_a_mark(desk: Desk) -> None:
    """Its sentence says so; several pieces and held ones never come back, nor any where share is 0."""
    said = desk.tally(desk.consider("12.4 304 stn")).sentence
    desk.tally(desk.consider("3 x4 304 stn"))
    desk.tally(desk.consider("2 ?"))
    desk.yard = replace(desk.yard, recheck=RecheckSettings())
    desk.tally(desk.consider("5 304 stn"))

    [due] = desk.rechecks.due()
    assert said.endswith(f"set it aside for a second look, write {due.mark} on it")
    assert due.piece.mass_g == 12_400
    assert rechecks_drawn(desk.ledger) == 1


def test_the_ledger_draws(desk: Desk) -> None:
    """The hash of the row before a piece decides, so that anyone can draw again."""
    desk.yard = replace(desk.yard, recheck=RecheckSettings(share=0.5))
    rows = [desk.tally(desk.consider("5 304 stn")).row for _ in range(12)]

    assert [("recheck" in row.body) for row in rows] == [is_chosen(row.prev_hash, 0.5) for row in rows]
    assert 0 < sum("recheck" in row.body for row in rows) < 12


def test_a_second_look_counts_by_its_own_findings(desk: Desk) -> None:
    """Right where the bay's buyer takes what was found, wrong where not; a name and doubt are refused."""
    desk.tally(desk.consider("12.4 304 stn"))
    desk.tally(desk.consider("5 6063 axc"))
    first, second = desk.rechecks.due()
    with pytest.raises(DeskRefusal, match="a name alone is no check"):
        desk.rechecks.settle(first, "304")
    with pytest.raises(DeskRefusal, match="Still undecided"):
        desk.rechecks.settle(first, "cu50")
    with pytest.raises(DeskRefusal):
        desk.rechecks.settle(first, "cr=x")

    right = desk.rechecks.settle(first, "cr18.2 ni8.1 fe71.3 mn1.4 m0")
    wrong = desk.rechecks.settle(
        second, "al=90 cu=4.4 mg=1.5 mn=0.6 fe=0.3 / al=90 cu=4.4 mg=1.5 mn=0.6 fe=0.3"
    )

    assert (right.made.placed, right.made.found) == ("STN", "STN")
    assert wrong.made.placed == "AXC" != wrong.made.found
    assert "belongs in" in wrong.sentence
    assert desk.rechecks.due() == []
    assert desk.undo().sentence == "taken back: second look"
    assert [one.mark for one in desk.rechecks.due()] == [second.mark]
    assert rechecks_done(desk.ledger) == [right.made]
    desk.redo()
    assert desk.rechecks.due() == []


def test_a_void_piece_does_not_come_back(desk: Desk) -> None:
    """What was undone is not looked at again."""
    desk.tally(desk.consider("12.4 304 stn"))
    desk.undo()

    assert desk.rechecks.due() == []
    assert rechecks_drawn(desk.ledger) == 0


def test_the_matrix_names_nobody_but_who_asks(
    desk: Desk, yard_folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The page shows the own share only, `learned` none, unless yard.toml lets everybody see everybody's."""
    desk.tally(desk.consider("12.4 304 stn"))
    desk.rechecks.settle(desk.rechecks.due()[0], "cr18.2 ni8.1 fe71.3 mn1.4 m0")
    desk.take_over("Jory")
    assert "STN" in desk.rechecks.page(80)
    assert "Ilse" not in desk.rechecks.page(80)
    desk.take_over("Ilse")
    assert "Ilse" in desk.rechecks.page(80)

    def learned(*words: str) -> str:
        assert main(["learned", *words, "--yard", str(yard_folder)]) == 0
        return capsys.readouterr().out

    assert "Right: 1 of 1, 21-100 %" in learned()
    assert "Ilse" not in learned()
    assert json.loads(learned("--json"))["rechecks"]["classes"]["STN"]["belongs_in"] == {"STN": 1}
    file = yard_folder / "yard.toml"
    told = "[recheck]\nshare = 0.1\nby_person_for_all = true\n\n[piece_scale]"
    file.write_text(file.read_text(encoding="utf-8").replace("[piece_scale]", told, 1), encoding="utf-8")
    assert "Ilse" in learned()
