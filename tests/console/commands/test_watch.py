"""`baywright watch` as a command: real folder, real process, real signals."""

import json
import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from console.cli import main

Capture = pytest.CaptureFixture[str]
MAPPING = """
[readings_files]
folder = "drop"
columns = { "Piece No" = "piece", "Chromium" = "Cr", "Nickel" = "Ni", "Ground spot" = "ground" }
ignore = ["Operator"]
decimal = "comma"
"""
ROWS = "Piece No;Operator;Chromium;Nickel;Ground spot\nA1;Tavi;17,1;10,9;no\nA1;Tavi;17,2;10,8;yes\n"


def describe(yard_folder: Path, readings_files: str) -> None:
    """Put another [readings_files] into the yard.toml, in place of the demo yard's."""
    file = yard_folder / "yard.toml"
    before, _, after = file.read_text(encoding="utf-8").partition("[readings_files]")
    after = after[after.index("\n\n") :]
    file.write_text(before + readings_files.lstrip() + after, encoding="utf-8")


@pytest.fixture
def drop(yard_folder: Path) -> Path:
    """The folder that the yard's own yard.toml names."""
    describe(yard_folder, MAPPING)
    (yard_folder / "drop").mkdir()
    return yard_folder / "drop"


def watch_once(yard_folder: Path, *more: str) -> int:
    return main(["watch", "--once", *more, "--yard", str(yard_folder)])


def test_one_line_per_shot_and_none_twice(drop: Path, yard_folder: Path, capsys: Capture) -> None:
    """Own column names, semicolons and decimal commas; the second pass is silent."""
    (drop / "shots.csv").write_text(ROWS, encoding="utf-8")

    assert watch_once(yard_folder) == 0
    first = capsys.readouterr().out
    assert watch_once(yard_folder) == 0
    second = capsys.readouterr().out

    assert first.splitlines() == [
        "shots.csv:2  piece A1  xrf  Cr 17.1 Ni 10.9",
        "shots.csv:3  piece A1  xrf ground  Cr 17.2 Ni 10.8",
    ]
    assert second == ""


def test_json_lines(drop: Path, yard_folder: Path, capsys: Capture) -> None:
    """One object per shot with an id that stays the same whatever the file is called."""
    (drop / "shots.csv").write_text(ROWS + "A2;Tavi;<0,1;nd;\n", encoding="utf-8")

    watch_once(yard_folder, "--json")

    shots = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    assert [(shot["line"], shot["piece"], shot["is_ground"]) for shot in shots] == [
        (2, "A1", False),
        (3, "A1", True),
        (4, "A2", False),
    ]
    assert shots[0]["wt_pct"] == {"Cr": 17.1, "Ni": 10.9}
    assert shots[2]["below_wt_pct"]["Cr"] == 0.1 and shots[2]["below_wt_pct"]["Ni"] > 0
    assert len({shot["id"] for shot in shots}) == 3


def test_a_bad_row_is_told_and_the_status_says_so(drop: Path, yard_folder: Path, capsys: Capture) -> None:
    """A row that cannot be read is told with line and cell, the good ones are printed; status 1."""
    (drop / "shots.csv").write_text(ROWS + "A2;Tavi;many;1;\n", encoding="utf-8")

    assert watch_once(yard_folder) == 1

    out, err = capsys.readouterr()
    assert len(out.splitlines()) == 2
    assert 'shots.csv: line 4: Cr "many"' in err


def test_a_file_name_is_data(drop: Path, yard_folder: Path, capsys: Capture) -> None:
    """Neither an escape sequence nor a byte that is no text gets from a file's name to the terminal."""
    name = os.fsencode(drop) + b"/red\x1b[31m\xff.csv"
    with open(name, "w", encoding="utf-8") as file:
        file.write("Chromium;Nickel\n17,1;10,9\nmany;1\n")

    assert watch_once(yard_folder) == 1
    assert watch_once(yard_folder, "--json") == 1

    out, err = capsys.readouterr()
    assert out.startswith("red\ufffd[31m\ufffd.csv:2  piece red\ufffd[31m\ufffd  xrf  Cr 17.1")
    assert "\x1b" not in out + err


def test_a_half_written_file_is_told_and_read_later(drop: Path, yard_folder: Path, capsys: Capture) -> None:
    """A last line without its end waits, and is read once it is whole."""
    (drop / "shots.csv").write_text(ROWS.rstrip("\n"), encoding="utf-8")

    assert watch_once(yard_folder) == 1
    out, err = capsys.readouterr()
    (drop / "shots.csv").write_text(ROWS, encoding="utf-8")
    assert watch_once(yard_folder) == 0

    assert len(out.splitlines()) == 1
    assert "not read to its end: its last line has no end yet" in err
    assert len(capsys.readouterr().out.splitlines()) == 1


def test_what_cannot_begin_says_why(yard_folder: Path, capsys: Capture) -> None:
    """No folder named, no such folder, no such yard: status 2 and words."""
    describe(yard_folder, "")
    assert main(["watch", "--once", "--yard", str(yard_folder)]) == 2
    assert "name the folder that readings go to" in capsys.readouterr().err
    assert main(["watch", str(yard_folder / "no"), "--once", "--yard", str(yard_folder)]) == 2
    assert "There is no folder" in capsys.readouterr().err
    assert main(["watch", "x", "--yard", str(yard_folder / "no")]) == 2


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ('columns = { "Nr" = "number" }', 'readings_files, columns, Nr: "number" is neither'),
        ('delimiter = "semi"', "delimiter: 'semi' is not one of"),
        ('decimal = ";"', "decimal: ';' is not one of"),
        ('technique = "nose"', 'technique: "nose" is not one of'),
        ('map = "x"', "map: this key is not known"),
    ],
)
def test_a_wrong_mapping_is_told(yard_folder: Path, capsys: Capture, wrong: str, said: str) -> None:
    """A mapping of files that makes no sense is told with what would be right."""
    describe(yard_folder, f"[readings_files]\n{wrong}\n")

    assert watch_once(yard_folder) == 2
    assert said in capsys.readouterr().err


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM])
def test_it_waits_for_files_and_stops_when_told(drop: Path, yard_folder: Path, number: int) -> None:
    """A file dropped while it runs comes out; Ctrl C or SIGTERM ends it with status 0, the lock is free."""
    watch = subprocess.Popen(
        [sys.executable, "-m", "console.cli", "watch", "--yard", str(yard_folder)],
        stdout=subprocess.PIPE,
        text=True,
    )
    assert watch.stdout is not None
    unfinished = drop / "shots.part"
    unfinished.write_text(ROWS, encoding="utf-8")
    os.rename(unfinished, drop / "shots.csv")

    lines = [watch.stdout.readline(), watch.stdout.readline()]
    watch.send_signal(number)

    assert watch.wait(10) == 0
    assert watch.stdout.read() == ""
    assert [line.split()[2] for line in lines] == ["A1", "A1"]
    assert watch_once(yard_folder) == 0
