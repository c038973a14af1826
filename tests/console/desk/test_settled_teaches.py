"""What buyers find of settled loads counts in the bay's limits and in the residuals of the matcher."""

import json
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest

from console.cli import main
from console.desk import Desk
from console.yard.chemistry.headroom import LimitState

SHOT = "12 cr18.2 ni8.1 mn1.5 si0.4 fe70.6 cu1.2"


@pytest.fixture
def settled(yard_folder: Path, clock: Callable[[], datetime]) -> Path:
    """A yard whose three loads of 304, never read, were found to hold more copper than such melts do."""
    desk = Desk.open(yard_folder, now=clock)
    for cu in ("0.62", "0.55", "0.66"):
        desk.tally(desk.consider("300kg 304 stn"))
        tag = desk.consignments.begin("TS2").made.tag
        desk.consignments.put(tag, ["STN=all"])
        desk.consignments.seal(tag, "as agreed")
        desk.consignments.send(tag, "truck")
        desk.consignments.found(tag, f"cu={cu}")
    desk.tally(desk.consider("300kg 304 stn"))
    desk.close()
    return yard_folder


def opened(folder: Path, clock: Callable[[], datetime]) -> tuple[LimitState, float, float, float]:
    """Return copper of the bay 18/8: limit, what its pieces say, residual, how likely a shot is of it."""
    desk = Desk.open(folder, now=clock)
    chemistry = desk.bays.book.standing()["STN"].chemistry
    copper = next(one for one in chemistry.limits if one.symbol == "Cu")
    factor = desk.known.matched.residual_factors.get(("304", "Cu"), 1.0)
    verdict = desk.consider(SHOT).verdict
    taken = desk.yard.bay("STN").taken_ids
    likely = sum(one.probability for one in verdict.candidates if one.grade.grade_id in taken)
    desk.close()
    return copper, chemistry.composition["Cu"].wt_pct, factor, likely


def switch_off(folder: Path) -> None:
    file = folder / "yard.toml"
    text = file.read_text(encoding="utf-8")
    assert text.count("learn_from_settlements = true") == 1
    text = text.replace("learn_from_settlements = true", "learn_from_settlements = false")
    file.write_text(text, encoding="utf-8")


def test_settled_loads_move_the_chance_and_the_residual(settled: Path, clock: Callable[[], datetime]) -> None:
    """Copper found too high: a limit is less sure to be kept, copper in 18/8 is less of a surprise."""
    on = opened(settled, clock)
    switch_off(settled)
    off = opened(settled, clock)

    assert on[0].content.wt_pct > off[0].content.wt_pct + 0.05
    assert on[0].chance_kept < off[0].chance_kept - 0.05
    assert on[0].content.sigma < off[0].content.sigma
    assert on[1] == off[1] == pytest.approx(off[0].content.wt_pct)
    assert (on[2] > 1.2, off[2]) == (True, 1.0)
    assert on[3] > off[3] + 0.0005


def test_what_was_taught_is_shown_and_can_be_switched_off(
    settled: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """`learned` tells bay, element, loads, found and what of it counts; the switch is told, figures stay."""
    assert main(["learned", "--yard", str(settled)]) == 0
    text = capsys.readouterr().out
    assert main(["learned", "--yard", str(settled), "--json"]) == 0
    [copper] = json.loads(capsys.readouterr().out)["settled"]["bays"]
    assert main(["bays", "--chemistry", "--yard", str(settled)]) == 0
    chemistry = capsys.readouterr().out
    switch_off(settled)
    assert main(["learned", "--yard", str(settled)]) == 0
    switched_off = capsys.readouterr().out

    assert "SETTLED LOADS AGAINST ESTIMATES" in text and "Switched off" not in text.split("SETTLED")[1]
    assert max(map(len, text.splitlines())) <= 80
    assert (copper["bay"], copper["element"], copper["loads"], copper["unread"]) == ("STN", "Cu", 3, 1.0)
    assert 0.0 < copper["shift"] < copper["found_less_estimated"]
    assert copper["u"] < copper["u_before"]
    assert f"Cu as settled loads taught: +{copper['shift']:.3f}" in chemistry
    assert "Switched off (learn_from_settlements = false in yard.toml)" in switched_off


def test_what_was_read_teaches_nothing_of_residuals(yard_folder: Path, clock: Callable[[], datetime]) -> None:
    """Where the analyser read copper, a difference is the analyser's: the limit moves, no grade does."""
    desk = Desk.open(yard_folder, now=clock)
    desk.tally(desk.consider("300kg 304 cr18.2 ni8.1 mn1.5 si0.4 fe71.3 cu0.3 stn"))
    tag = desk.consignments.begin("TS2").made.tag
    desk.consignments.put(tag, ["STN=all"])
    desk.consignments.seal(tag, "as agreed")
    desk.consignments.send(tag, "truck")
    desk.consignments.found(tag, "cu=0.42")
    desk.close()
    desk = Desk.open(yard_folder, now=clock)

    shift = desk.yard.bay("STN").learned["Cu"]
    assert (shift.unread, shift.mean > 0.0) == (0.0, True)
    assert dict(desk.known.matched.residual_factors) == {}
    desk.close()


def test_later_loads_are_held_against_what_was_estimated(
    settled: Path, clock: Callable[[], datetime]
) -> None:
    """What was taught is not written on a bale or a sheet: the next difference is not smaller for it."""
    desk = Desk.open(settled, now=clock)
    sheets = [desk.consignments.sheet(f"T1-C{n}").composition["Cu"].wt_pct for n in (1, 2, 3)]
    tag = desk.consignments.begin("TS2").made.tag
    desk.consignments.put(tag, ["STN=all"])

    assert desk.consignments.sheet(tag).composition["Cu"].wt_pct == pytest.approx(sheets[0])
    assert desk.yard.bay("STN").learned["Cu"].loads == 3
    desk.close()
