"""The desk in a yard with an analyser of its own, from the entry line to the bay, on a real store."""

from collections.abc import Callable, Iterator
from datetime import datetime
from pathlib import Path

import pytest

from console.cli import main
from console.desk import Desk
from console.ledger.rows.queries import kept_evidence
from console.ledger.views.bay_metal import bay_metal

GUN = """
[techniques.gun2]
like = "xrf"
label = "old x-ray gun"
[techniques.gun2.elements]
Ni = { a = 1.5, b = 0.1, lod = 3.0 }
"""


@pytest.fixture
def gun_folder(yard_folder: Path) -> Path:
    file = yard_folder / "yard.toml"
    text = file.read_text(encoding="utf-8")
    assert text.count('\ntechnique = "xrf"') == 1
    file.write_text(text.replace('\ntechnique = "xrf"', '\ntechnique = "gun2"') + GUN, encoding="utf-8")
    return yard_folder


@pytest.fixture
def desk(gun_folder: Path, clock: Callable[[], datetime]) -> Iterator[Desk]:
    opened = Desk.open(gun_folder, now=clock)
    yield opened
    opened.close()


def test_a_bare_reading_is_judged_by_the_yards_own_profile(desk: Desk) -> None:
    """The yard's technique counts where the line names none, and says less than the shipped one."""
    own = desk.consider("12.4 cr18.2 ni8.1 mn1.5 fe71.3")
    shipped = desk.consider("12.4 cr18.2 ni8.1 mn1.5 fe71.3 xrf")

    assert own.parsed.facts.shots[0].reading.technique == "gun2"
    assert own.verdict.best is not None and shipped.verdict.best is not None
    assert own.verdict.best.probability < shipped.verdict.best.probability
    assert not any("no profile" in warning for warning in own.verdict.warnings)


def test_a_check_shot_is_scored_by_it_and_widens_it_alone(desk: Desk) -> None:
    """Ni 12.9 on a coupon of 10.2 is far off for the shipped gun and within what this one repeats."""
    (done,) = desk.checks.shoot("316 coupon", "ni12.9").made
    nickel = done.shot.elements[0]
    assert (done.shot.technique, done.control.is_out) == ("gun2", False)
    assert abs(nickel.z) < 2.0

    desk.checks.shoot("316 coupon", "cr25 ni30")

    known, yards = desk.known.techniques, desk.yard.techniques
    assert known["gun2"].sigma("Ni", 8.0) > yards["gun2"].sigma("Ni", 8.0)
    assert known["xrf"] is yards["xrf"]


def test_the_bay_takes_its_uncertainty_from_it(desk: Desk) -> None:
    """The same piece read by the old gun leaves the bay's nickel less well known."""
    tallied = desk.tally(desk.consider("12.4 304 cr18.2 ni8.1 mn1.5 fe71.3 stn"))
    own = bay_metal(desk.ledger, desk.yard, desk.library)["STN"].composition()["Ni"]
    assert kept_evidence(desk.ledger, tallied.row.row_id)["facts"]["shots"][0]["technique"] == "gun2"  # type: ignore[index]
    desk.undo()
    desk.tally(desk.consider("12.4 304 cr18.2 ni8.1 mn1.5 fe71.3 stn xrf"))

    shipped = bay_metal(desk.ledger, desk.yard, desk.library)["STN"].composition()["Ni"]

    assert own.sigma == pytest.approx((1.5**2 + 0.81**2) ** 0.5, rel=0.01)
    assert own.sigma > 5 * shipped.sigma


def test_readings_files_and_commands_take_its_name(
    gun_folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A row may name it, a command may make it the usual one, and another name is refused with the list."""
    file = gun_folder / "shots.csv"
    file.write_text("piece,technique,Cr,Ni\n1,GUN2,18.2,nd\n2,,18.2,8.1\n", encoding="utf-8")
    where = ["--yard", str(gun_folder)]

    assert main(["identify", "--readings", str(file), *where]) == 0
    assert main(["identify", "--readings", str(file), "--technique", "gun2", *where]) == 0
    assert "no profile" not in capsys.readouterr().out
    assert main(["identify", "--readings", str(file), "--technique", "gun3", *where]) == 2
    assert '"gun3" is not one of lab, xrf, libs, gun2' in capsys.readouterr().err

    drop = gun_folder / "drop"
    drop.mkdir()
    (drop / "a.csv").write_text("piece,technique,Cr,Ni\n1,gun2,18.2,nd\n", encoding="utf-8")
    assert main(["watch", str(drop), "--once", *where]) == 0
    assert "ni<3" in capsys.readouterr().out.casefold().replace(" ", "")
