"""What lies beside the store: one writer, nothing left over, no sheet without its row, nobody else's eyes."""

import os
import shutil
import stat
import subprocess
import sys
from pathlib import Path

import pytest

from console.cli import main
from console.desk import Desk
from console.ledger.keeping.store import Ledger
from console.ledger.rows.errors import StoreLocked, StoreReplaced
from tests.console.ledger.clock import SteppingClock, brass, open_ledger
from tests.faults.killing_at import killed_at_every_step

ROOT = Path(__file__).resolve().parents[2]


def test_a_second_console_by_a_link_is_told(ledger: Ledger, store: Path) -> None:
    """The same folder by another name is the same store: who comes second is refused."""
    other = store.parent.parent / f"link to {store.parent.name}"
    other.symlink_to(store.parent)

    with pytest.raises(StoreLocked, match="terminal T1"):
        open_ledger(other / store.name)


def test_after_a_deleted_lock_only_one_console_writes(ledger: Ledger, store: Path) -> None:
    """Who deletes the lock lets a second console in; the first one then takes no further act."""
    ledger.add_piece(brass(), "Ada")
    store.with_name(store.name + ".lock").unlink()

    with open_ledger(store) as second:
        second.add_piece(brass(), "Ben")
        with pytest.raises(StoreReplaced, match="another console"):
            ledger.add_piece(brass(), "Ada")
        second.add_piece(brass(), "Ben")


def test_a_killed_salvage_leaves_nothing_for_long(store: Path) -> None:
    """Whatever step it is killed at, the next one or the next start takes the unfinished file away."""
    with open_ledger(store) as ledger:
        ledger.open_run("Ada")
        ledger.add_piece(brass(), "Ada")
    target = store.parent / "rows.jsonl"

    def salvaged() -> None:
        main(["salvage", str(target), "--yard", str(store.parent)])

    def look(step: int) -> None:
        open_ledger(store).close()
        left = [file.name for file in store.parent.iterdir() if file.name.endswith(".unfinished")]
        assert left == [], f"left by a kill at step {step}"

    def prepare() -> None:
        target.unlink(missing_ok=True)

    assert killed_at_every_step(prepare, salvaged, look) >= 1


@pytest.mark.parametrize("act", ["close-out", "bale"])
def test_a_sheet_whose_row_was_never_written_is_marked(yard_folder: Path, act: str) -> None:
    """Killed at any step of a close-out or bale: a sheet without its row says so from the next start on."""
    as_it_was = yard_folder.parent / "as it was"
    with Desk.open(yard_folder, now=SteppingClock()).ledger as ledger:
        run = ledger.open_run_id()
        ledger.add_piece(brass(30_000, bay="STN"), "Ilse")
    shutil.copytree(yard_folder, as_it_was)

    def prepare() -> None:
        shutil.rmtree(yard_folder)
        shutil.copytree(as_it_was, yard_folder)

    def do() -> None:
        desk = Desk.open(yard_folder, now=SteppingClock())
        if act == "bale":
            desk.bays.draw_down("STN", "20", "sold")
        else:
            desk.closing.close_run("no scale")

    def look(step: int) -> None:
        desk = Desk.open(yard_folder, now=SteppingClock())
        done = {"bale": "draw-down", "close-out": "close"}[act]
        has_row = desk.ledger.connection.execute("SELECT 1 FROM ledger WHERE kind = ?", (done,)).fetchone()
        desk.close()
        kind = "bale" if act == "bale" else f"handover-{run}"
        for sheet in [*yard_folder.glob(f"{kind}*.txt"), *yard_folder.glob(f"{kind}*.html")]:
            is_marked = "NOT IN THE LEDGER" in sheet.read_text(encoding="utf-8")
            assert is_marked == (has_row is None), f"step {step}: {sheet.name}"
            assert is_marked == (".not-in-ledger" in sheet.name)

    assert killed_at_every_step(prepare, do, look) > 3


@pytest.mark.parametrize("shared", [False, True])
def test_files_are_private_unless_the_yard_is_shared(yard_folder: Path, shared: bool) -> None:
    """New files 0600 and folders 0700; with `shared = true` they are as the account has it."""
    file = yard_folder / "yard.toml"
    if shared:
        file.write_text("shared = true\n" + file.read_text(encoding="utf-8"), encoding="utf-8")
    lines = yard_folder / "lines.txt"
    lines.write_text("12.4 304\n", encoding="utf-8")
    before = {entry.name for entry in yard_folder.iterdir()}
    for words in (["enter", str(lines)], ["office", "--out", str(yard_folder / "report.json")]):
        subprocess.run(
            [sys.executable, "-m", "console.cli", *words, "--yard", str(yard_folder)],
            cwd=ROOT, check=True, capture_output=True, preexec_fn=lambda: os.umask(0o022),
        )  # fmt: skip

    made = [entry for entry in yard_folder.iterdir() if entry.name not in before]

    assert {"yard.sqlite3", "yard.sqlite3.head.json", "report.json"} <= {entry.name for entry in made}
    modes = {entry.name: stat.S_IMODE(entry.stat().st_mode) for entry in made}
    for name in ("yard.sqlite3", "yard.sqlite3.head.json", "report.json"):
        assert modes[name] == (0o644 if shared else 0o600), name
