"""No output of a command takes the place of what the program lives on, nor of any file unasked."""

import os
import shutil
import threading
from pathlib import Path

import pytest

from console.cli import main

Capture = pytest.CaptureFixture[str]


@pytest.fixture
def worked(yard_folder: Path, capsys: Capture) -> Path:
    """A yard with a piece in it."""
    (yard_folder / "lines.txt").write_text("12.4 304\n", encoding="utf-8")
    assert main(["enter", str(yard_folder / "lines.txt"), "--yard", str(yard_folder)]) == 0
    (yard_folder / "grades.toml").write_text("", encoding="utf-8")
    (yard_folder / "handover-T1-0009.txt").write_text("paper", encoding="utf-8")
    capsys.readouterr()
    return yard_folder


OWN = [
    "yard.sqlite3",
    "yard.toml",
    "grades.toml",
    "yard.sqlite3-wal",
    "yard.sqlite3.lock",
    "handover-T1-0009.txt",
]


@pytest.mark.parametrize(
    "command", [["office", "--overwrite", "--out"], ["salvage"]], ids=["office", "salvage"]
)
@pytest.mark.parametrize("name", OWN)
def test_a_file_of_the_yard_is_never_written_over(
    worked: Path, command: list[str], name: str, capsys: Capture
) -> None:
    """Not even when told to overwrite, nor by another way to the same file."""
    file = worked / name
    before = file.read_bytes() if file.exists() else None
    (worked.parent / "linked").symlink_to(worked)

    for way in (file, worked / ".." / worked.name / name, worked.parent / "linked" / name):
        assert main([*command, str(way), "--yard", str(worked)]) == 2
        assert "never written over" in capsys.readouterr().err

    assert (file.read_bytes() if file.exists() else None) == before


def test_a_hard_link_to_the_store_is_the_store(worked: Path) -> None:
    """A second name of the store in another folder is the store all the same."""
    os.link(worked / "yard.sqlite3", worked.parent / "report.json")

    assert (
        main(["office", "--overwrite", "--out", str(worked.parent / "report.json"), "--yard", str(worked)])
        == 2
    )


def test_another_file_is_replaced_only_when_told(worked: Path, tmp_path: Path, capsys: Capture) -> None:
    """A report that is there stays unless --overwrite is said."""
    report = tmp_path / "report.json"
    report.write_text("last month", encoding="utf-8")
    words = ["office", "--out", str(report), "--yard", str(worked)]

    assert main(words) == 2
    assert "--overwrite" in capsys.readouterr().err
    assert report.read_text(encoding="utf-8") == "last month"
    assert main([*words, "--overwrite"]) == 0
    assert report.read_text(encoding="utf-8").startswith("{")


def test_a_planted_link_is_not_followed(worked: Path, tmp_path: Path) -> None:
    """A link in the place of the output is refused, and what it points to stays; backup and salvage too."""
    shutil.copy(worked / "yard.toml", tmp_path / "precious")
    before = (tmp_path / "precious").read_bytes()
    (tmp_path / "out").symlink_to(tmp_path / "precious")
    (tmp_path / "new").symlink_to(tmp_path / "not there yet")

    for words in (["office", "--overwrite", "--out"], ["salvage"], ["backup"]):
        for name in ("out", "new"):
            assert main([*words, str(tmp_path / name), "--yard", str(worked)]) == 2

    assert (tmp_path / "precious").read_bytes() == before
    assert not (tmp_path / "not there yet").exists()


def test_a_pipe_gets_the_report(worked: Path, tmp_path: Path) -> None:
    """Who names a pipe wants the report in it, with the line ends that CSV asks for."""
    pipe, heard = tmp_path / "pipe", []
    os.mkfifo(pipe)
    reader = threading.Thread(target=lambda: heard.append(pipe.read_bytes()))
    reader.start()

    assert main(["office", "--form", "csv", "--out", str(pipe), "--yard", str(worked)]) == 0

    reader.join(timeout=10)
    assert heard[0].count(b"\r\n") == 2
