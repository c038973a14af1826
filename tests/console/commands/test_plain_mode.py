"""--plain and its environment variable: every report in words, one fact a line."""

import re
from pathlib import Path

import pytest

from console.cli import main
from console.commands.plain_mode import PLAIN_VARIABLE

DRAWN = re.compile(r"[─-╿▀-▟■-◿→±≤≥●·]|[-=]{3,}| {2,}")
LINES = "12.4 304\n3.1 yellow brass\n2.6 ? ; grey, dense\n8.2 6063\n"


@pytest.fixture
def worked_yard(yard_folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Path:
    """A yard with a few pieces."""
    shift = tmp_path / "shift.txt"
    shift.write_text(LINES, encoding="utf-8")
    main(["enter", str(shift), "--yard", str(yard_folder)])
    main(["check", "316 coupon", "cr17.1 ni10.9 mo2.1 fe67", "--yard", str(yard_folder)])
    capsys.readouterr()
    return yard_folder


@pytest.mark.parametrize(
    ("command", "wanted"),
    [
        ("tally", "STN, stainless 18-8: pieces 1, weight 12.40 kg"),
        ("tally --by grade", "304: pieces 1, weight 12.40 kg"),
        ("handover", "STN, stainless 18-8: pieces 1, weight 12.40 kg, share 47.1%"),
        ("bays", "takes, 6060, 6063, 6005A, 6061, 6082 (5 grades and"),
        ("bays --chemistry", "Cu at most 0.5"),
        ("bays --templates", "stainless-300"),
        ("outcomes", "3 entries placed"),
        ("grade 6061", "Fe, at most 0.7"),
        ("grade brass", "can mean"),
        ("check", "316 coupon"),
        ("learned", "aluminium wrought: now 16.5 %, usual 16.5 %, counted none"),
        ("identify 12.4 cr18.2 ni8.1 fe71", "for: Ni 8.1 inside 8-10.5"),
    ],
)
def test_every_report_is_words(
    worked_yard: Path, capsys: pytest.CaptureFixture[str], command: str, wanted: str
) -> None:
    """The facts are all there, nothing is drawn, nothing depends on standing below something else."""
    main([*command.split(), "--plain", "--yard", str(worked_yard)])
    said = capsys.readouterr().out

    assert wanted in said
    assert not [line for line in said.splitlines() if not line.strip() or DRAWN.search(line)]


def test_the_environment_variable_does_the_same(
    worked_yard: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Who needs it always sets it once; --plain before the command works too."""
    main(["tally", "--yard", str(worked_yard)])
    laid_out = capsys.readouterr().out
    main(["--plain", "tally", "--yard", str(worked_yard)])
    plain = capsys.readouterr().out
    monkeypatch.setenv(PLAIN_VARIABLE, "1")
    main(["tally", "--yard", str(worked_yard)])

    assert capsys.readouterr().out == plain != laid_out


def test_data_for_programs_stays_as_it_is(worked_yard: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """--json is not words."""
    main(["tally", "--json", "--yard", str(worked_yard)])
    facts = capsys.readouterr().out
    main(["tally", "--json", "--plain", "--yard", str(worked_yard)])

    assert capsys.readouterr().out == facts


def test_what_was_entered_is_told_in_words(
    yard_folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """No arrow between weight and bay."""
    shift = tmp_path / "shift.txt"
    shift.write_text("12.4 304\n", encoding="utf-8")

    main(["enter", str(shift), "--plain", "--yard", str(yard_folder)])

    assert "12.40 kg to STN stainless 18-8" in capsys.readouterr().out
