"""Whatever stands in a file of a user: a sentence with place and mend, no escape, no traceback."""

import io
import os
import signal
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from console.cli import main

Capture = pytest.CaptureFixture[str]
COMMANDS = [
    ["tally"], ["handover"], ["bays"], ["office"], ["learned"], ["check"], ["identify", "12.4 304"],
    ["why", "T1-H1"],
    ["enter", "lines.txt"], ["grade", "304"], ["outcomes"], ["watch", "--once"],
]  # fmt: skip
HOSTILE = {
    "brackets": "x = " + "[" * 3000,
    "tables": "[" + ".".join("a" * 3000) + "]",
    "digits": "x = " + "9" * 5000,
    "escape": 'family = "\\u001b[31m"\n["A"]\nnames = 3\nwrong\\u001b = 1',
    "quoted key": '["\\u001b[2J\\u0007"]\nfamily = "brass"\n',
    "bytes": b"\xff\xfe\x00",
    "long text": 'name = "' + "x" * 100_000 + '"',
    "large": "#" * 3_000_000,
}


def spoil(folder: Path, name: str, content: str | bytes) -> None:
    (folder / name).write_bytes(content if isinstance(content, bytes) else content.encode())


@pytest.mark.parametrize("file", ["yard.toml", "grades.toml"])
@pytest.mark.parametrize("hostile", list(HOSTILE))
def test_every_command_tells_a_wrong_file(
    yard_folder: Path, file: str, hostile: str, capsys: Capture, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Status 2, the file named, nothing a terminal would obey, and no long quotation, in every command."""
    (yard_folder / "lines.txt").write_text("12.4 304\n", encoding="utf-8")
    monkeypatch.chdir(yard_folder)
    spoil(yard_folder, file, HOSTILE[hostile])

    for command in COMMANDS:
        if command[0] == "grade" and file == "yard.toml":
            continue  # a grade's card asks for no yard
        status = main([*command, "--yard", str(yard_folder)])
        said = capsys.readouterr()
        assert status == 2, (command, said)
        assert file in said.err
        assert "\x1b" not in said.err + said.out
        assert max(map(len, said.err.splitlines())) < 500


def test_texts_of_a_right_file_are_cleaned(yard_folder: Path, capsys: Capture) -> None:
    """An escape in a text of yard.toml that is otherwise right reaches no terminal."""
    file = yard_folder / "yard.toml"
    text = file.read_text(encoding="utf-8")
    first = text.index('name = "') + len('name = "')
    file.write_text(text[:first] + "\\u001b[31m" + text[first:], encoding="utf-8")

    for command in (["bays"], ["bays", "--json"]):
        assert main([*command, "--yard", str(yard_folder)]) == 0
        assert "\x1b" not in capsys.readouterr().out


@pytest.mark.parametrize(
    "name",
    ["yard.sqlite3", "yard.toml", "grades.toml", "readings-taken.jsonl", "yard.half-typed", "readings/a.csv"],
)
@pytest.mark.parametrize("kind", ["pipe", "device"])
def test_a_pipe_or_device_in_the_place_of_a_file_holds_nobody_up(
    yard_folder: Path, name: str, kind: str, capsys: Capture, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A start on a pipe or an endless device ends by itself, with or without that file."""
    file = yard_folder / name
    file.unlink(missing_ok=True)
    if kind == "pipe":
        os.mkfifo(file)
    else:
        file.symlink_to("/dev/zero")

    for words in (["enter", "-"], ["watch", "--once"], ["tally"]):
        monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(b"12.4 304\n")))
        with an_end_within(20):
            status = main([*words, "--yard", str(yard_folder)])
        said = capsys.readouterr().err
        assert status in (0, 1, 2)
        assert "Traceback" not in said
        assert len(said) < 2000


@contextmanager
def an_end_within(seconds: int) -> Iterator[None]:
    """Interrupt what hangs, as a person at the end of patience would."""

    def give_up(*_: object) -> None:
        raise AssertionError(f"held up for {seconds} s")

    before = signal.signal(signal.SIGALRM, give_up)
    signal.alarm(seconds)
    try:
        yield
    finally:
        signal.alarm(0)
        signal.signal(signal.SIGALRM, before)


def test_cells_and_lines_without_measure_are_told(yard_folder: Path, tmp_path: Path, capsys: Capture) -> None:
    """Cells of 100,000 characters and a line of ten million bytes are told by place, printed nowhere."""
    readings, lines = tmp_path / "r.csv", tmp_path / "lines.txt"
    readings.write_text("piece,Cr\n" + ",".join(["a\u0301" * 50_000] * 2) + "\n", encoding="utf-8")
    lines.write_bytes(b"12.4 304\n" + b"x" * 10_000_000 + b"\n7 304\n")

    assert main(["identify", "--readings", str(readings), "--yard", str(yard_folder)]) == 2
    said = capsys.readouterr()
    assert "line 2" in said.err
    assert "at most 1000" in said.err
    assert len(said.err) + len(said.out) < 1000
    assert main(["enter", str(lines), "--yard", str(yard_folder)]) == 1
    said = capsys.readouterr()
    assert "line 2: longer than" in said.err
    assert [line[:2] for line in said.out.splitlines()] == ["1:", "3:"]
    assert main(["identify", "x" * 5000, "--yard", str(yard_folder)]) == 2
