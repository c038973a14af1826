"""`baywright bays` and `baywright outcomes` over the real path: real folder, real store, real arguments."""

import json
from pathlib import Path

import pytest

from console.cli import main
from console.commands.yard_folder import utc_now
from console.desk import Desk
from console.yard.new.templates import templates

Capture = pytest.CaptureFixture[str]


@pytest.fixture
def sorted_yard(yard_folder: Path) -> Path:
    """The demo yard after four pieces, of which one was moved, and a bale of stainless."""
    desk = Desk.open(yard_folder, now=utc_now)
    for line in ("12.4 304", "8 304", "3.1 316", "5 6063 ext"):
        desk.tally(desk.consider(line))
    moved = next(piece for piece in desk.review.pieces() if piece.line == "8 304")
    desk.review.move(moved.row_id, "SFC", "Mn 6 on a ground spot")
    desk.ledger.draw_down("STN", 12_000, desk.person, body={"bale": "T1-STN-0001"})
    desk.close()
    return yard_folder


def test_bays_lists_rules_overlaps_and_gaps(yard_folder: Path, capsys: Capture) -> None:
    """The list of bays names rules, overlaps and gaps within 80 columns."""
    assert main(["bays", "--yard", str(yard_folder)]) == 0

    out = capsys.readouterr().out
    assert max(map(len, out.splitlines())) <= 80
    assert "AXC extrusions clean" in out
    assert "gaps: metal that no bay takes" in out


def test_bays_as_json(yard_folder: Path, capsys: Capture) -> None:
    """The JSON of the bays has every part, and the overlap of two stainless bays in it."""
    assert main(["bays", "--json", "--yard", str(yard_folder)]) == 0

    row = json.loads(capsys.readouterr().out)
    assert {"bays", "overlaps", "gaps", "grades", "grades_taken"} <= set(row)
    assert any("316" in part["grades"] and part["bays"][:2] == ["STM", "STN"] for part in row["overlaps"])


def test_bay_chemistry_as_text_and_json(sorted_yard: Path, capsys: Capture) -> None:
    """The chemistry of a bay and its headroom for a grade come as text and as figures."""
    assert main(["bays", "--chemistry", "--grade", "2024", "--yard", str(sorted_yard)]) == 0
    text = capsys.readouterr().out
    assert main(["bays", "--chemistry", "--grade", "2024", "--json", "--yard", str(sorted_yard)]) == 0
    row = json.loads(capsys.readouterr().out)

    assert "headroom at 90 %: 2024" in text
    extrusions = next(bay for bay in row["bays"] if bay["bay"] == "AXC")
    assert extrusions["kg"] == 5.0
    assert 95.0 < extrusions["wt_pct"]["Al"]["content"] < 100.0
    assert 0.0 <= extrusions["headroom_kg"]["2024"] < 5.0


def test_a_template_is_printed_ready_to_paste(yard_folder: Path, capsys: Capture) -> None:
    """Listed by name, printed whole, and a yard.toml that it is added to still loads."""
    assert main(["bays", "--templates"]) == 0
    assert [line.split()[0] for line in capsys.readouterr().out.splitlines()] == list(templates())

    assert main(["bays", "--template", "white-coppers"]) == 0
    text = capsys.readouterr().out
    with (yard_folder / "yard.toml").open("a", encoding="utf-8") as file:
        file.write(text)
    assert main(["bays", "--yard", str(yard_folder)]) == 0
    assert "NSV nickel silver" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["bays", "--template", "stainles-300"], 'did you mean "stainless-300"?'),
        (["bays", "--grade", "304"], "--grade belongs to --chemistry"),
        (["bays", "--chemistry", "--grade", "brass"], "can be"),
        (["outcomes", "--weight", "3 kg"], "--weight belongs to a downgrade"),
        (["outcomes", "--downgrade", "T1-STN-0001"], "needs --weight and --reason"),
        (
            ["outcomes", "--downgrade", "T1-XX-1", "--weight", "3 kg", "--reason", "x"],
            "The newest: T1-STN-0001",
        ),
        (["outcomes", "--downgrade", "STN", "--weight", "3 elephants", "--reason", "x"], "elephants"),
        (["outcomes", "--downgrade", "STN", "--weight", "30 kg", "--reason", "x"], "is too much"),
        (
            ["outcomes", "--downgrade", "STN", "--weight", "3 kg", "--reason", "x", "--grade", "brass"],
            "name one, or leave it out",
        ),
    ],
)
def test_what_cannot_begin_is_said_with_status_two(
    sorted_yard: Path, capsys: Capture, words: list[str], said: str
) -> None:
    """What a command cannot do is told on standard error, and the status is 2."""
    assert main([*words, "--yard", str(sorted_yard)]) == 2

    assert said in capsys.readouterr().err


def test_review_shows_a_move_and_counts_a_downgrade(sorted_yard: Path, capsys: Capture) -> None:
    """A downgrade of 6 of the bale's 12 kg costs the price difference, and stands in every table after it."""
    where = ["--yard", str(sorted_yard)]
    entering = ["--downgrade", "T1-STN-0001", "--weight", "6 kg", "--reason", "paint", "--loss", "5.5"]
    assert main(["outcomes", *where]) == 0
    before = capsys.readouterr().out

    assert main(["outcomes", *entering, *where]) == 0
    assert "6.00 kg of bale T1-STN-0001 downgraded by the buyer: paint" in capsys.readouterr().out
    assert main(["outcomes", *where]) == 0
    text = capsys.readouterr().out
    assert main(["outcomes", "--json", *where]) == 0
    row = json.loads(capsys.readouterr().out)

    assert "STN -> SFC 8.00 kg, named 304: Mn 6 on a ground spot" in before
    assert max(map(len, text.splitlines())) <= 80
    assert "1 downgrade by buyers, 5.50 EUR lost" in " ".join(text.split())
    stn = next(one for one in row["by_bay"] if one["name"] == "STN")
    assert (stn["moved_kg"], stn["downgraded_kg"], stn["lost"]) == (8.0, 6.0, 5.5)
    assert [one["cause"] for one in row["contradictions"]] == ["moved", "downgraded"]


def test_review_of_a_quiet_yard(yard_folder: Path, capsys: Capture) -> None:
    """A yard in which nothing proved wrong is told so."""
    Desk.open(yard_folder, now=utc_now).close()

    assert main(["outcomes", "--yard", str(yard_folder), "--since", "2026-01-01"]) == 0

    assert "Nothing contradicted a placement so far." in capsys.readouterr().out


def test_a_hostile_reason_is_only_text(sorted_yard: Path, capsys: Capture) -> None:
    """Escape sequences that somebody typed never reach the terminal."""
    where = ["--yard", str(sorted_yard)]
    reason = "\x1b[31mred\x1b[0m '; DROP TABLE ledger; --"
    assert main(["outcomes", "--downgrade", "STN", "--weight", "1 kg", "--reason", reason, *where]) == 0
    assert main(["outcomes", *where]) == 0

    out = capsys.readouterr().out
    assert "\x1b" not in out
    assert "DROP TABLE ledger" in " ".join(out.split())
