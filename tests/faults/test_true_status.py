"""What cannot be written is told in a line, and no exit status says done when it is not."""

import os
import resource
import subprocess
import sys
from pathlib import Path

import pytest

from console.cli import main
from console.ledger.rows.queries import LedgerReader
from console.ledger.views.tally import tally

ROOT = Path(__file__).resolve().parents[2]
Done = subprocess.CompletedProcess[str]


@pytest.fixture
def worked(yard_folder: Path) -> Path:
    """A yard with a piece in it, and a hundred lines to enter."""
    (yard_folder / "lines.txt").write_text("12.4 304\n", encoding="utf-8")
    assert main(["enter", str(yard_folder / "lines.txt"), "--yard", str(yard_folder)]) == 0
    (yard_folder / "lines.txt").write_text("12.4 304\n" * 100, encoding="utf-8")
    return yard_folder


def shell(folder: Path, words: str, **environment: str) -> Done:
    """Run a line of the shell; {baywright} and {yard} stand for the program and the yard."""
    line = words.format(baywright=f"{sys.executable} -m console.cli", yard=folder, lines=folder / "lines.txt")
    return subprocess.run(
        ["bash", "-c", line], cwd=ROOT, env={**os.environ, **environment}, capture_output=True, text=True,
        timeout=60, check=False,
    )  # fmt: skip


def pieces(folder: Path) -> int:
    with LedgerReader.open(folder / "yard.sqlite3") as reader:
        return tally(reader, "T1-0001").pieces


@pytest.mark.parametrize(
    "command", ["handover", "tally", "bays", "office", "verify", "grade 304", "identify 304"]
)
def test_a_full_disk_under_the_output_is_told(worked: Path, command: str) -> None:
    """Whatever a command prints onto a full disk: one line on standard error, and a status that is not 0."""
    done = shell(worked, f"{{baywright}} {command} --yard {{yard}} > /dev/full")

    assert done.returncode == 1
    assert "output could not be written whole (No space left on device)" in done.stderr
    assert len(done.stderr.splitlines()) == 1


def test_enter_says_at_which_line_to_go_on(worked: Path) -> None:
    """Onto a full disk one line is tallied; it says so, enters no more, and says where to go on."""
    done = shell(worked, "{baywright} enter {lines} --yard {yard} > /dev/full")

    assert done.returncode == 1
    assert "line 1 is tallied and on disk" in done.stderr
    assert "Go on at line 2" in done.stderr
    assert pieces(worked) == 2


def test_enter_into_a_closed_pipe_stops(worked: Path) -> None:
    """When who reads the answers has gone, no piece goes in that nobody hears of but the one named."""
    line = "{baywright} enter {lines} --yard {yard} | head -1; exit ${{PIPESTATUS[0]}}"
    done = shell(worked, line)

    assert done.returncode == 1
    said = int(done.stderr.split("Go on at line ")[1].split(".")[0])
    assert pieces(worked) == said
    assert said < 101


def test_closed_standard_streams_are_told(worked: Path) -> None:
    """Without input there is nothing to enter, without output nowhere to answer: a sentence, status 2."""
    for words in ("enter - --yard {yard} <&-", "tally --yard {yard} >&-"):
        done = shell(worked, "{baywright} " + words)
        assert done.returncode == 2, done
        assert "closed" in done.stderr
        assert "Traceback" not in done.stderr


def test_ascii_output_is_no_fault(worked: Path) -> None:
    """On a terminal that knows no letters but ASCII every report comes, with stand-ins."""
    for command in ("bays", "handover", "grade 304", "bays --chemistry"):
        done = shell(worked, f"{{baywright}} {command} --yard {{yard}}", PYTHONIOENCODING="ascii")
        assert done.returncode == 0, done
        assert done.stdout.isascii()


def test_too_little_memory_is_a_sentence(worked: Path) -> None:
    """Under a limit of memory: no traceback, and a status that is not 0."""
    limit = 60_000_000
    done = subprocess.run(
        [sys.executable, "-m", "console.cli", "bays", "--yard", str(worked)],
        cwd=ROOT, capture_output=True, text=True, check=False,
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_AS, (limit, limit)),
    )  # fmt: skip

    assert done.returncode != 0
    assert "Traceback" not in done.stderr
    assert "baywright bays: " in done.stderr
