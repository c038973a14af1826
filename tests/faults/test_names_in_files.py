"""Names of yard.toml that cannot be part of a run, a tag or a file are refused; old ones can be closed."""

from pathlib import Path

import pytest

from console.cli import main
from console.desk import Desk
from console.ledger.keeping.store import Ledger
from tests.console.ledger.clock import SteppingClock, brass

Capture = pytest.CaptureFixture[str]
WRONG = ["gate/2", "..", ".T1", "-T1", "CON", "com1", "T1.", "a b", "T\\\\1", "x" * 300, "T1\\u001b[31m"]


@pytest.mark.parametrize("name", WRONG)
@pytest.mark.parametrize("command", [["tally"], ["enter", "-"], ["handover"], ["bays"], ["identify", "304"]])
def test_a_terminal_that_cannot_be_part_of_a_file_is_refused(
    yard_folder: Path, name: str, command: list[str], capsys: Capture
) -> None:
    """The message says what is allowed, quotes at most 60 characters, and lets no escape through."""
    file = yard_folder / "yard.toml"
    text = file.read_text(encoding="utf-8")
    assert text.count('terminal = "T1"') == 1
    file.write_text(text.replace('terminal = "T1"', f'terminal = "{name}"'), encoding="utf-8")

    assert main([*command, "--yard", str(yard_folder)]) == 2

    said = capsys.readouterr().err
    assert "terminal" in said
    assert "T1" in said or "at most 12" in said
    assert "\x1b" not in said
    assert len(said) < 400


@pytest.mark.parametrize("name", ["../Ilse", "-Ilse", ".hidden", "NUL", "a/b", "y" * 300])
def test_a_person_that_cannot_be_part_of_a_file_is_refused(
    yard_folder: Path, name: str, capsys: Capture
) -> None:
    """The same for people; common names of people pass."""
    file = yard_folder / "yard.toml"
    text = file.read_text(encoding="utf-8")
    file.write_text(text.replace('people = ["', f'people = ["{name}", "', 1), encoding="utf-8")

    assert main(["bays", "--yard", str(yard_folder)]) == 2
    assert "people" in capsys.readouterr().err


def test_a_bay_called_as_a_device_is_refused(yard_folder: Path, capsys: Capture) -> None:
    """NUL is no bay."""
    file = yard_folder / "yard.toml"
    file.write_text(
        file.read_text(encoding="utf-8").replace('code = "LDS"', 'code = "NUL"'), encoding="utf-8"
    )

    assert main(["bays", "--yard", str(yard_folder)]) == 2
    assert "device" in capsys.readouterr().err


def test_a_run_of_an_earlier_terminal_name_can_be_closed(yard_folder: Path, clock: SteppingClock) -> None:
    """A run called gate/2-0001 closes; its paper has a name that a folder can hold."""
    with Ledger.open(yard_folder / "yard.sqlite3", now=clock, terminal="gate/2") as ledger:
        ledger.open_run("Ilse")
        ledger.add_piece(brass(bay="YBR"), "Ilse")
    desk = Desk.open(yard_folder, now=clock)

    paper = desk.closing.close_run("no scale").made
    desk.close()

    assert paper == yard_folder / "handover-gate_2-0001.txt"
    assert "gate/2-0001" in paper.read_text(encoding="utf-8")
