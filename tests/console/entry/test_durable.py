"""Files that are written whole or not at all."""

import os
import threading
from pathlib import Path

import pytest

from console.ground.durable import replace_whole, writing_whole


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


def test_a_link_and_a_pipe_are_written_through(tmp_path: Path) -> None:
    """A link stays one and its file is replaced; a pipe gets the text, with the line ends asked for."""
    (tmp_path / "real.txt").write_text("old", encoding="utf-8")
    (tmp_path / "link.txt").symlink_to("real.txt")
    replace_whole(tmp_path / "link.txt", "new")
    assert (tmp_path / "link.txt").is_symlink()
    assert (tmp_path / "real.txt").read_text(encoding="utf-8") == "new"

    pipe, heard = tmp_path / "pipe", []
    os.mkfifo(pipe)
    reader = threading.Thread(target=lambda: heard.append(pipe.read_bytes()))
    reader.start()
    with writing_whole(pipe, newline="") as stream:
        stream.write("a;b\r\n")
    reader.join(timeout=10)
    assert heard == [b"a;b\r\n"]
