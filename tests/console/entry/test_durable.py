"""Files that are written whole or not at all."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from console.ground.durable import replace_whole, sweep_unfinished, writing_whole


def test_what_fails_half_way_leaves_the_old_file(tmp_path: Path) -> None:
    """Interrupted while it is written, the file is the old one, and nothing lies beside it."""
    file = tmp_path / "sheet.txt"
    replace_whole(file, "old\n")

    with pytest.raises(KeyboardInterrupt), writing_whole(file) as stream:
        stream.write("new" * 100_000)
        raise KeyboardInterrupt

    assert file.read_text(encoding="utf-8") == "old\n"
    assert [one.name for one in tmp_path.iterdir()] == ["sheet.txt"]


def test_a_new_file_may_be_read_as_any_other_and_an_old_one_keeps_its_rights(tmp_path: Path) -> None:
    """A sheet is for everybody whom the system's usual rights allow; who narrowed them keeps that."""
    usual = tmp_path / "usual.txt"
    usual.write_text("", encoding="utf-8")
    file = tmp_path / "sheet.txt"

    replace_whole(file, "1")
    assert file.stat().st_mode == usual.stat().st_mode
    file.chmod(0o640)
    replace_whole(file, "2")
    assert file.stat().st_mode & 0o777 == 0o640


def test_a_planted_link_or_pipe_is_replaced_and_not_followed(tmp_path: Path) -> None:
    """What a link points to stays as it is, and a pipe of that name holds nobody up."""
    (tmp_path / "real.txt").write_text("old", encoding="utf-8")
    (tmp_path / "link.txt").symlink_to("real.txt")
    os.mkfifo(tmp_path / "pipe.txt")

    replace_whole(tmp_path / "link.txt", "new")
    replace_whole(tmp_path / "pipe.txt", "new")

    assert (tmp_path / "real.txt").read_text(encoding="utf-8") == "old"
    for name in ("link.txt", "pipe.txt"):
        assert not (tmp_path / name).is_symlink()
        assert (tmp_path / name).read_text(encoding="utf-8") == "new"


def test_what_killed_writers_left_is_swept_and_that_of_living_ones_stays(tmp_path: Path) -> None:
    """Files of a process that is gone go; of this one, and what only looks alike, stay."""
    gone = subprocess.Popen([sys.executable, "-c", ""])
    gone.wait()
    dead, alive = (f".a.txt.{number}.x1.unfinished" for number in (gone.pid, os.getpid()))
    for name in (dead, alive, "notes.unfinished", ".a.txt.12.x1"):
        (tmp_path / name).touch()

    sweep_unfinished(tmp_path)

    assert sorted(file.name for file in tmp_path.iterdir()) == sorted(
        [alive, "notes.unfinished", ".a.txt.12.x1"]
    )
