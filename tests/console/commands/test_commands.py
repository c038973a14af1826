"""The commands without a screen, over the real path: real folder, real store, real arguments."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from console.cli import COMMANDS, main
from console.desk import consider_line, next_step, open_yardless

Capture = pytest.CaptureFixture[str]


def test_enter_says_what_each_line_became_and_keeps_the_good_ones(yard_folder: Path, capsys: Capture) -> None:
    """A bad line is reported with its number and reason, the good ones are kept, exit status 1."""
    lines = yard_folder / "lines.txt"
    lines.write_text("# a load\n12.4 304\n\n0 304\n5 6061 plate\n", encoding="utf-8")

    status = main(["enter", str(lines), "--yard", str(yard_folder)])

    out, err = capsys.readouterr()
    assert status == 1
    assert [line.split(":")[0] for line in out.splitlines()] == ["2", "5"]
    assert "12.40 kg" in out
    assert err.startswith("line 4: ")
    assert "above 0" in err


def test_enter_reads_standard_input_with_a_bad_byte(yard_folder: Path) -> None:
    """A byte that is no UTF-8 spoils neither its line's neighbours nor the program."""
    done = subprocess.run(
        [sys.executable, "-m", "console.cli", "enter", "-", "--yard", str(yard_folder)],
        input=b"3 304\n4 304 ; caf\xe9\n",
        capture_output=True,
        check=False,
    )

    assert done.returncode == 0, done.stderr
    assert len(done.stdout.splitlines()) == 2


def test_tally_as_json_and_text(yard_folder: Path, capsys: Capture) -> None:
    """The tally's JSON has pieces, net_kg and bays; the text says the same."""
    lines = yard_folder / "lines.txt"
    lines.write_text("12.4 304\n2.5 304 x2\n1 ?\n", encoding="utf-8")
    assert main(["enter", str(lines), "--yard", str(yard_folder)]) == 0
    capsys.readouterr()

    assert main(["tally", "--json", "--yard", str(yard_folder)]) == 0
    sums = json.loads(capsys.readouterr().out)
    assert main(["tally", "--yard", str(yard_folder)]) == 0
    text = capsys.readouterr().out

    assert sums["pieces"] == 4
    assert sums["net_kg"] == pytest.approx(15.9)
    assert sum(bay["net_kg"] for bay in sums["bays"]) == pytest.approx(15.9)
    assert "15.90 kg" in text


def test_handover_fits_eighty_columns(yard_folder: Path, capsys: Capture) -> None:
    """The handover prints holds with their tags within 80 columns."""
    lines = yard_folder / "lines.txt"
    lines.write_text("12.4 304\n1 ? ; grey, dense\n", encoding="utf-8")
    main(["enter", str(lines), "--yard", str(yard_folder)])
    capsys.readouterr()

    assert main(["handover", "--yard", str(yard_folder)]) == 0

    text = capsys.readouterr().out
    assert "T1-H1" in text
    assert max(map(len, text.splitlines())) <= 80


def test_yard_comes_from_the_environment_or_the_current_folder(
    yard_folder: Path, capsys: Capture, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """--yard, else BAYWRIGHT_YARD, else the current folder; no yard.toml there is said, status 2."""
    monkeypatch.setenv("BAYWRIGHT_YARD", str(yard_folder))
    assert main(["tally"]) == 2
    assert "no store" in capsys.readouterr().err.lower()

    monkeypatch.delenv("BAYWRIGHT_YARD")
    monkeypatch.chdir(tmp_path)
    assert main(["tally"]) == 2
    assert "yard.toml" in capsys.readouterr().err


def test_second_writer_is_refused_and_a_reader_is_not(yard_folder: Path) -> None:
    """While one process enters, a second is refused with status 2 and a reader reads on."""
    command = [sys.executable, "-m", "console.cli"]
    where = ["--yard", str(yard_folder)]
    with subprocess.Popen(
        [*command, "enter", "-", *where], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as first:
        assert first.stdin is not None
        assert first.stdout is not None
        first.stdin.write("12.4 304\n")
        first.stdin.flush()
        assert "12.40 kg" in first.stdout.readline()

        second = subprocess.run(
            [*command, "enter", "-", *where], input="1 304\n", capture_output=True, text=True, check=False
        )
        reader = subprocess.run(
            [*command, "tally", "--json", *where], capture_output=True, text=True, check=False
        )
        first.stdin.close()
    assert second.returncode == 2
    assert "Traceback" not in second.stderr
    assert str(first.pid) in second.stderr or "another" in second.stderr.lower()
    assert json.loads(reader.stdout)["pieces"] == 1


def test_identify_one_line_as_json(capsys: Capture) -> None:
    """One line, one object: candidates by probability with twins and reasons, and what is unlisted."""
    assert main(["identify", "--json", "12.4 m0 cr18.2 ni8.1 mn1.5 fe71.3"]) == 0

    row = json.loads(capsys.readouterr().out)
    shares = [candidate["probability"] for candidate in row["candidates"]]
    assert row["candidates"][0]["grade"] == "304"
    assert row["candidates"][0]["uns"] == "S30400"
    assert {"grade": "304L", "uns": "S30403"} in row["candidates"][0]["twins"]
    assert shares == sorted(shares, reverse=True)
    assert len(shares) <= 25
    assert min(shares) >= 0.001
    assert sum(shares) + row["unlisted"] <= 1.0 + 1e-6


PLACEMENT = {"bay", "verdict", "probability", "reason", "next_check"}


def test_identify_places_what_it_identifies_where_there_is_a_yard(yard_folder: Path, capsys: Capture) -> None:
    """A line gets the bay, the reason and the next check that the console would show."""
    line = "2 xrf cu64 zn18 ni16"
    assert main(["identify", "--json", "--yard", str(yard_folder), line]) == 0
    placed = json.loads(capsys.readouterr().out)["placement"]
    considered = consider_line(line, known := open_yardless(yard_folder))
    assert considered.placement is not None and considered.placement.best is not None

    assert set(placed) == PLACEMENT
    assert (placed["bay"], placed["verdict"]) == ("WHC", "leaning")
    assert placed["probability"] == pytest.approx(considered.placement.best.accepted, abs=1e-6)
    assert placed["reason"] == considered.placement.reason
    assert placed["next_check"] == next_step(considered, known)
    assert placed["next_check"].startswith("file it: white through and through")

    assert main(["identify", "--json", line]) == 0
    assert "placement" not in json.loads(capsys.readouterr().out)


def test_identify_places_every_row_of_a_file(yard_folder: Path, tmp_path: Path, capsys: Capture) -> None:
    """A sure piece is settled, a skin is to be ground first, and a row that says nothing stays open."""
    file = tmp_path / "readings.csv"
    file.write_text(
        "piece,technique,Cr,Ni,Fe,Mn,Mo,Cu,Zn\n"
        "A,lab,18.2,8.1,71.3,1.5,0.2,0.3,\nB,libs,65,25,,,,6,4\nC,lab,,,,,,,\n",
        encoding="utf-8",
    )
    assert main(["identify", "--json", "--yard", str(yard_folder), "--readings", str(file)]) == 0
    sure, skin, nothing = (json.loads(line)["placement"] for line in capsys.readouterr().out.splitlines())

    assert all(set(one) == PLACEMENT for one in (sure, skin, nothing))
    assert (sure["bay"], sure["verdict"], sure["next_check"]) == ("STN", "settled", "tally it, no check pays")
    assert skin["verdict"] != "settled" and "shoot again" in skin["next_check"]
    assert (nothing["bay"], nothing["verdict"], nothing["probability"]) == ("HLD", "open", 0.0)
    assert nothing["next_check"] == ""


def test_identify_says_what_it_did_not_understand(capsys: Capture) -> None:
    """An unknown word is reported and the rest is still identified; exit status 1."""
    assert main(["identify", "12.4", "304", "qqqqzz"]) == 1

    out, err = capsys.readouterr()
    assert "qqqqzz" in err
    assert "304" in out


def test_identify_many_readings(tmp_path: Path, capsys: Capture) -> None:
    """Rows with the same piece are shots on one piece; each piece is one line of JSON, in order."""
    file = tmp_path / "readings.csv"
    file.write_text(
        "piece,technique,ground,magnet,Cr,Ni,Mo,Fe,Pb\n"
        "a,xrf,no,none,18.1,8.2,0.2,71.4,\n"
        "a,xrf,yes,none,18.3,8.1,0.2,71.2,<0.02\n"
        "b,lab,,,16.8,10.4,2.1,68.2,\n",
        encoding="utf-8",
    )

    assert main(["identify", "--readings", str(file), "--json"]) == 0

    rows = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    assert [row["piece"] for row in rows] == ["a", "b"]
    assert rows[0]["candidates"][0]["series"] == "300"
    assert rows[1]["candidates"][0]["grade"].startswith("316")


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("", "empty"),
        ("Cr,Ni\n1,2\n", "no column piece"),
        ("piece,Xx\n1,2\n", '"Xx"'),
        ("piece,Cr\n1,abc\n", "line 2: Cr"),
        ("piece,Cr,Ni\n1,60,70\n", "sum to 130"),
        ("piece,magnet\n1,sometimes\n", "known: none, weak, strong"),
        ("piece,Cr\n,18\n", "names its piece"),
        ("piece,technique,Cr\n1,guess,18\n", "guess"),
    ],
)
def test_wrong_readings_are_refused_with_line_and_column(
    text: str, part: str, tmp_path: Path, capsys: Capture
) -> None:
    """A wrong file is refused whole, with the place and what would be right; exit status 2."""
    file = tmp_path / "readings.csv"
    file.write_text(text, encoding="utf-8")

    assert main(["identify", "--readings", str(file)]) == 2

    assert part in capsys.readouterr().err


@pytest.mark.parametrize("command", sorted(COMMANDS))
def test_every_command_explains_itself_with_an_example(command: str, capsys: Capture) -> None:
    """--help exits with 0 and shows an example that begins with the command."""
    with pytest.raises(SystemExit) as ended:
        main([command, "--help"])

    assert ended.value.code == 0
    assert f"baywright {command}" in capsys.readouterr().out.split("example:")[1]


def test_wrong_arguments_end_with_status_two(capsys: Capture) -> None:
    """An unknown command is refused by name."""
    with pytest.raises(SystemExit) as ended:
        main(["sortify"])

    assert ended.value.code == 2
    assert "sortify" in capsys.readouterr().err


def test_console_without_a_terminal_says_so() -> None:
    """With no terminal on standard input the console refuses in words."""
    done = subprocess.run(
        [sys.executable, "-m", "console.cli", "--yard", "nowhere"],
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        check=False,
        env={**os.environ, "TERM": "xterm"},
    )

    assert done.returncode == 2
    assert "terminal" in done.stderr
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize("command", [["tally"], ["office"], ["handover"], ["enter", "-"]])
def test_a_wrong_file_of_the_yards_own_grades_is_told(
    command: list[str], yard_folder: Path, capsys: Capture
) -> None:
    """Every command that reads the yard says what is wrong with its grades, and ends with 2."""
    (yard_folder / "grades.toml").write_text("[X1]\n", encoding="utf-8")

    status = main([*command, "--yard", str(yard_folder)])

    assert status == 2
    assert "grades.toml" in capsys.readouterr().err
