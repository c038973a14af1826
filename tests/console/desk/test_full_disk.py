"""A full disk: every act says so in words and leaves nothing half done; with room again all goes on."""

import json
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

from tests.conftest import DEMO_YARD

ROOT = DEMO_YARD.parent
SIZE = "4m"
LONGEST_FILE_BYTES = 600_000
"""Stands for the full disk where no small one can be mounted."""


def small_disk() -> Sequence[str] | None:
    """Return the command that runs another with mounts of its own; None where that is not allowed."""
    for words in (["unshare", "--mount"], ["unshare", "--user", "--map-root-user", "--mount"]):
        try:
            tried = subprocess.run(
                [*words, "sh", "-c", f"mount -t tmpfs -o size={SIZE} tmpfs /mnt"],
                check=False,
                capture_output=True,
            )
        except FileNotFoundError:
            return None
        if tried.returncode == 0:
            return words
    return None


def run(words: Sequence[str]) -> dict[str, object]:
    """Run a desk whose disk fills up; return what it said."""
    done = subprocess.run(words, cwd=ROOT, check=False, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    found: dict[str, object] = json.loads(done.stdout)
    return found


def test_a_full_disk_is_told_and_nothing_is_half_done(tmp_path: Path) -> None:
    """Piece, note, bale, close-out and backup are refused whole; with room again the run goes on and closes.

    Where no small disk can be mounted the system refuses long files instead: the store's log is one, the
    sheets are none.
    """
    own = small_disk()
    words = [
        sys.executable,
        "-m",
        "tests.console.desk.full_disk",
        str(tmp_path),
        str(DEMO_YARD / "yard.toml"),
    ]
    if own is None:
        said = run([*words, str(LONGEST_FILE_BYTES)])
        assert "this act was not written" in str(said["piece"])
        assert said["left_over"] == ["copy.sqlite3"] and said["is_open"]
    else:
        mount = 'mount -t tmpfs -o size="$0" tmpfs "$1" && shift && exec "$@"'
        said = run([*own, "sh", "-c", mount, SIZE, str(tmp_path), *words])
        for act in ("piece", "note"):
            assert "is full; this act was not written, all earlier ones are safe" in str(said[act])
        for act in ("draw_down", "close_out", "backup"):
            assert said[act], f"{act} was done on a full disk"
        assert said["left_over"] == [] and said["is_open"]

    assert "HANDOVER" in str(said["handover"])
    assert said["pieces"] == said["kept"] and int(str(said["kept"])) > 10
    assert said["findings"] == 0
