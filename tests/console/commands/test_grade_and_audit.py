"""The commands on the grade library: card, template, audit."""

import json
import tomllib
from pathlib import Path

import pytest

from console.cli import main

Capture = pytest.CaptureFixture[str]


def test_card_by_a_name_with_temper(capsys: Capture) -> None:
    """A temper suffix is no hindrance; the card shows limits, twins and sources."""
    assert main(["grade", "6061-T6"]) == 0

    card = capsys.readouterr().out
    assert card.startswith("6061")
    assert "0.8-1.2" in card
    assert "twins" in card
    assert "sources" in card


def test_card_of_beryllium_copper_stands_with_its_caution(capsys: Capture) -> None:
    """The card of a hazardous grade carries the caution and the deferral to local law."""
    assert main(["grade", "C17200"]) == 0

    card = " ".join(capsys.readouterr().out.split())
    assert "STOP Beryllium" in card
    assert "local law" in card


def test_a_name_of_several_grades_lists_them(capsys: Capture) -> None:
    """An ambiguous name says so, lists what it can mean, and ends with 1."""
    assert main(["grade", "gunmetal"]) == 1

    out = capsys.readouterr().out
    assert "C90500" in out
    assert "C83600" in out


def test_a_slip_of_one_figure_is_never_opened(capsys: Capture) -> None:
    """A near name is another grade: it is named as close and not shown."""
    assert main(["grade", "6062"]) == 2

    out, err = capsys.readouterr()
    assert out == ""
    assert "close to it" in err


def test_meaning_as_json(capsys: Capture) -> None:
    """The JSON of a name has its grades with limits."""
    assert main(["grade", "--json", "1.4301"]) == 0

    meaning = json.loads(capsys.readouterr().out)
    assert [grade["grade"] for grade in meaning["grades"]] == ["304"]
    assert meaning["grades"][0]["limits_wt_pct"]["Cr"] == {"min": 17.5, "max": 19.5, "rest": False}


def test_template_of_a_yards_own_grade_loads_and_is_found(yard_folder: Path, capsys: Capture) -> None:
    """The printed template, saved as grades.toml, is a grade of the yard and its card says so."""
    assert main(["grade", "--new", "Shop bronze 7"]) == 0
    text = capsys.readouterr().out
    assert "Shop bronze 7" in tomllib.loads(text)
    (yard_folder / "grades.toml").write_text(text, encoding="utf-8")

    assert main(["grade", "shop bronze 7", "--yard", str(yard_folder)]) == 0

    assert "yard" in capsys.readouterr().out


def test_audit_is_clean_on_the_shipped_library(capsys: Capture) -> None:
    """Nothing is found, and the values are counted by kind of source."""
    assert main(["audit", "--json"]) == 0

    report = json.loads(capsys.readouterr().out)
    assert report["grades"] >= 1250
    assert report["findings"] == []
    assert set(report["values_by_kind"]) >= {"memory", "standard", "handbook"}


def test_audit_finds_what_is_wrong_with_a_yards_grade(yard_folder: Path, capsys: Capture) -> None:
    """A yard's grade with an impossible density is found, with what was expected; exit status 1."""
    main(["grade", "--new", "Shop bronze 7"])
    text = capsys.readouterr().out
    density = next(line for line in text.splitlines() if line.startswith("density ="))
    (yard_folder / "grades.toml").write_text(text.replace(density, "density = 3.1"), encoding="utf-8")

    assert main(["audit", "--yard", str(yard_folder)]) == 1

    out = capsys.readouterr().out
    assert "density: Shop bronze 7" in out
    assert "3.1" in out
