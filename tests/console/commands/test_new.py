"""`baywright new`: with every default, and where it must not begin."""

from pathlib import Path

import pytest

from console.cli import main
from console.commands.yard_folder import utc_now
from console.desk import Desk

Capture = pytest.CaptureFixture[str]


def test_yes_makes_a_yard_that_a_shift_can_be_worked_in(tmp_path: Path, capsys: Capture) -> None:
    """No terminal is needed; the yard is ready for pieces at once."""
    folder = tmp_path / "my yard"

    assert main(["new", str(folder), "--yes"]) == 0

    out = capsys.readouterr().out
    assert out.startswith(f"written: {folder / 'yard.toml'}")
    assert f"baywright --yard '{folder}'" in out
    desk = Desk.open(folder, now=utc_now)
    desk.tally(desk.consider("12.4 304 sheet m0"))
    assert [(piece.bay, piece.mass_g) for piece in desk.review.pieces()] == [("SSE", 12_400)]
    desk.close()


def test_an_existing_yard_is_refused_before_anything_is_asked(yard_folder: Path, capsys: Capture) -> None:
    """A yard.toml that is there stays as it is, byte for byte."""
    before = (yard_folder / "yard.toml").read_bytes()

    assert main(["new", str(yard_folder), "--yes"]) == 2

    assert "there already" in capsys.readouterr().err
    assert (yard_folder / "yard.toml").read_bytes() == before


def test_without_a_terminal_it_asks_for_yes(
    tmp_path: Path, capsys: Capture, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where nobody can be asked, the way without questions is named and nothing is made."""
    with open("/dev/null", encoding="utf-8") as nothing:
        monkeypatch.setattr("sys.stdin", nothing)
        assert main(["new", str(tmp_path / "yard")]) == 2

    assert "--yes" in capsys.readouterr().err
    assert not (tmp_path / "yard").exists()


def test_a_missing_yard_says_how_to_make_one(tmp_path: Path, capsys: Capture) -> None:
    """A folder without a yard is answered with the command that makes one, quoted for the shell."""
    assert main(["tally", "--yard", str(tmp_path / "a b")]) == 2

    assert f"baywright new '{tmp_path / 'a b'}'" in capsys.readouterr().err


def test_a_yard_folder_may_be_called_like_a_command(
    tmp_path: Path, capsys: Capture, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The word after --yard is a folder."""
    monkeypatch.chdir(tmp_path)
    assert main(["new", "new", "--yes"]) == 0
    capsys.readouterr()

    assert main(["--yard", "new", "bays", "--json"]) == 0

    assert '"bays"' in capsys.readouterr().out
