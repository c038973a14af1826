"""A seal that is killed or comes too late: the consignment is open or sealed, whole, and no paper is half."""

import shutil
from collections import Counter
from pathlib import Path

import pytest

from console.cli import main
from console.desk import Desk
from console.desk.consigning.papers import FORMS, paper_of, write_papers
from console.ledger.consignments.consignment import State
from console.ledger.consignments.standing import consignment_named
from console.ledger.keeping.verify import verify
from console.ledger.rows.errors import StoreReplaced
from tests.conftest import NOON
from tests.faults.killing_at import killed_at_every_step

Capture = pytest.CaptureFixture[str]
TAG, KIND = "T1-C1", "packing-list"
CLEAN = "300 6063 cu0.02 zn0.02 mg0.5 si0.4 al99"


@pytest.fixture
def folder(yard_folder: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A yard with an open consignment of one bale and 100 kg loose; 300 kg lie in the bay."""
    # What is remembered outside the store lies in the folder, so that both are put back together.
    monkeypatch.setenv("XDG_STATE_HOME", str(yard_folder / "state"))
    desk = Desk.open(yard_folder, now=lambda: NOON)
    for _ in range(2):
        desk.tally(desk.consider(CLEAN), bay_code="AXC")
    desk.bays.draw_down("AXC", "300", "bale")
    desk.consignments.begin("RX1")
    desk.consignments.put(TAG, ["T1-AXC-0001", "AXC=100kg"])
    desk.close()
    return yard_folder


def rows_of(folder: Path) -> int:
    """Return how many rows the store has; it is whole."""
    desk = Desk.open(folder, now=lambda: NOON)
    found = verify(desk.ledger)
    desk.close()
    assert found.is_whole, found.findings
    return found.rows


def test_killed_at_every_step_it_is_open_or_sealed_whole(folder: Path) -> None:
    """After a kill the next start says open, with all metal in the bay, or sealed, with its sheet."""
    as_it_was = folder.parent / "as it was"
    shutil.copytree(folder, as_it_was)
    rows, seen = rows_of(folder), Counter[State]()

    def prepare() -> None:
        shutil.rmtree(folder)
        shutil.copytree(as_it_was, folder)

    def act() -> None:
        desk = Desk.open(folder, now=lambda: NOON)
        desk.consignments.seal(TAG)
        own = consignment_named(desk.ledger, TAG)
        write_papers(own, desk.consignments.sheet(TAG), folder, [KIND])

    def look(step: int) -> None:
        desk = Desk.open(folder, now=lambda: NOON)
        own, found = consignment_named(desk.ledger, TAG), verify(desk.ledger)
        sheet, lies_g = desk.consignments.sheet(TAG), desk.bays.book.sums()["AXC"].mass_g
        desk.close()
        is_sealed = own.state is State.SEALED
        seen[own.state] += 1
        assert found.is_whole and found.rows == rows + 2 * is_sealed, f"half a seal, step {step}"
        assert round(lies_g) == (200_000 if is_sealed else 300_000)
        assert (sheet.net_g, sheet.parts[1].is_loose) == (400_000, not is_sealed)
        papers = {
            folder / f"{KIND}-{TAG}.{ending}": write(paper_of(own, sheet, KIND))
            for ending, write in FORMS.items()
        }
        left = {file for file in folder.iterdir() if KIND in file.name}
        assert left <= (papers.keys() if is_sealed else set()), f"left by a kill at step {step}"
        assert all(file.read_text(encoding="utf-8") == papers[file] for file in left)

    killed_at_every_step(prepare, act, look, rows=True)
    # Before the seal, each of its rows and its commit; then two steps of every file.
    assert seen[State.OPEN] >= 4 and seen[State.SEALED] >= 2 * len(FORMS) - 1


@pytest.mark.parametrize(
    "words", [("seal",), ("put", "AXC=50kg"), ("take", "T1-AXC-0001"), ("weigh", "400kg")]
)
def test_who_comes_after_the_seal_of_somebody_else_is_told(
    folder: Path, capsys: Capture, words: tuple[str, ...]
) -> None:
    """Ilse sealed it meanwhile: whatever Jory does says so by her name, and writes no row."""
    yard = ["--yard", str(folder)]
    assert main(["load", "seal", TAG, "--person", "Ilse", *yard]) == 0
    Desk.open(folder, now=lambda: NOON, person="Jory").close()
    rows = rows_of(folder)
    capsys.readouterr()

    assert main(["load", words[0], TAG, *words[1:], *yard]) == 2

    assert f"{TAG} was sealed by Ilse, " in (said := capsys.readouterr().err)
    assert "a sealed consignment never changes" in said
    assert rows_of(folder) == rows


def test_two_who_seal_at_once_make_one_seal(folder: Path) -> None:
    """Past a deleted lock a second console seals: the first is refused in a sentence, writes nothing."""
    rows = rows_of(folder)
    first = Desk.open(folder, now=lambda: NOON)
    (folder / "yard.sqlite3.lock").unlink()
    second = Desk.open(folder, now=lambda: NOON)
    second.consignments.seal(TAG)

    with pytest.raises(StoreReplaced, match="another console"):
        first.consignments.seal(TAG)

    assert verify(second.ledger).rows == rows + 2
    assert consignment_named(second.ledger, TAG).state is State.SEALED
    first.close()
    second.close()
