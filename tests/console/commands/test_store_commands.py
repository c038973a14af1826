"""Commands on the store: verify, backup, restore, salvage, sums over dates, office report, purchase sheet."""

import csv
import io
import json
import sqlite3
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from console.cli import main
from grade_library.library import load
from tests.yards import load_yard

Capture = pytest.CaptureFixture[str]


@pytest.fixture
def worked_yard(yard_folder: Path, capsys: Capture) -> Path:
    """Return a yard with a load of three pieces, one of them on hold."""
    lines = yard_folder / "lines.txt"
    lines.write_text(
        "12.4 m0 cr18.2 ni8.1 mn1.5 fe71.3\n3 c36000 ; =HYPERLINK(1)\n1 ? ; grey\n", encoding="utf-8"
    )
    load = ["--supplier", "Harrow Plumbing", "--load", "L-3"]
    assert main(["enter", str(lines), "--yard", str(yard_folder), *load]) == 0
    capsys.readouterr()
    return yard_folder


def on(folder: Path, *words: str) -> int:
    return main([*words, "--yard", str(folder)])


def test_verify_finds_the_row_that_somebody_changed(worked_yard: Path, capsys: Capture) -> None:
    """A whole store verifies; a row changed behind the program's back is named."""
    assert on(worked_yard, "verify") == 0
    newest = capsys.readouterr().out.split("newest ")[1].split()
    assert on(worked_yard, "verify", "--printed", newest[0], newest[1]) == 0
    assert on(worked_yard, "verify", "--printed", str(int(newest[0]) + 1), newest[1]) == 1, (
        "rows were cut off"
    )
    assert on(worked_yard, "verify", "--printed", newest[0], "0123456789abcdef") == 1
    capsys.readouterr()

    with sqlite3.connect(worked_yard / "yard.sqlite3") as connection:
        for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
            connection.execute(f"DROP TRIGGER {name}")
        connection.execute("UPDATE ledger SET mass_g = 99000 WHERE seq = 2")
    connection.close()

    assert on(worked_yard, "verify") == 1
    assert "row 2:" in capsys.readouterr().out


def test_backup_is_restored_in_the_place_of_a_lost_store(
    worked_yard: Path, tmp_path: Path, capsys: Capture
) -> None:
    """A backup is a whole store; restoring it brings the run back, and never replaces one silently."""
    copy = tmp_path / "copy.sqlite3"
    assert on(worked_yard, "backup", str(copy)) == 0
    assert on(worked_yard, "backup", str(copy)) == 2
    assert on(worked_yard, "restore", str(copy)) == 2
    (worked_yard / "yard.sqlite3").unlink()
    assert on(worked_yard, "restore", str(copy)) == 0
    capsys.readouterr()

    assert on(worked_yard, "tally", "--json") == 0
    assert json.loads(capsys.readouterr().out)["net_kg"] == pytest.approx(16.4)


def test_salvage_writes_every_row_as_json(worked_yard: Path, tmp_path: Path) -> None:
    """Every row comes out as one JSON object a line, marked as whole."""
    target = tmp_path / "rows.jsonl"

    assert on(worked_yard, "salvage", str(target)) == 0

    rows = [json.loads(line) for line in target.read_text(encoding="utf-8").splitlines()]
    assert [row["kind"] for row in rows] == ["open", "price", "piece", "piece", "piece"]
    assert all(row["is_whole"] for row in rows)


def test_sums_over_dates_by_supplier_and_grade(worked_yard: Path, capsys: Capture) -> None:
    """Sums are made by what is asked for, over the days asked for; a wrong date is refused."""
    assert on(worked_yard, "tally", "--by", "supplier", "--json") == 0
    sums = json.loads(capsys.readouterr().out)
    assert [(group["name"], group["net_kg"]) for group in sums["groups"]] == [("Harrow Plumbing", 16.4)]

    assert on(worked_yard, "tally", "--to", "2001-01-01", "--json") == 0
    assert json.loads(capsys.readouterr().out)["pieces"] == 0

    with pytest.raises(SystemExit) as ended:
        on(worked_yard, "tally", "--from", "yesterday")
    assert ended.value.code == 2


@pytest.mark.parametrize(
    ("by", "groups"),
    [
        ("bay", {"STN": 12.4, "YBR": 3.0, "HLD": 1.0}),
        ("grade", {"304": 12.4, "C36000": 3.0, "": 1.0}),
        ("supplier", {"Harrow Plumbing": 16.4}),
        ("person", {"Ilse": 16.4}),
    ],
)
def test_sums_by_everything_there_is(
    worked_yard: Path, capsys: Capture, by: str, groups: dict[str, float]
) -> None:
    """By bay, grade, supplier and person, over days that hold today: each group, and the total [kg]."""
    today = datetime.now().astimezone().date()
    days = ("--from", f"{today - timedelta(days=1)}", "--to", f"{today + timedelta(days=1)}")

    assert on(worked_yard, "tally", *days, "--by", by, "--json") == 0
    sums = json.loads(capsys.readouterr().out)
    assert {group["name"].split(" or ")[0]: group["net_kg"] for group in sums["groups"]} == groups
    assert sums["net_kg"] == pytest.approx(16.4)

    assert on(worked_yard, "tally", *days, "--by", by) == 0
    assert "16.40 kg" in capsys.readouterr().out


def test_office_csv_holds_no_formula_and_adds_up(worked_yard: Path, tmp_path: Path) -> None:
    """The CSV reads back with the csv module, its weights add up, typed text is never a formula."""
    target = tmp_path / "office.csv"

    assert on(worked_yard, "office", "--form", "csv", "--out", str(target)) == 0

    rows = list(csv.DictReader(io.StringIO(target.read_text(encoding="utf-8-sig"), newline="")))
    assert sum(float(row["kg"]) for row in rows) == pytest.approx(16.4)
    assert [row["note"] for row in rows][1] == "'=HYPERLINK(1)"
    assert {row["supplier"] for row in rows} == {"Harrow Plumbing"}


def test_purchase_sheet_lists_holds_apart(worked_yard: Path, capsys: Capture) -> None:
    """The supplier's sheet prices what is in bays and lists holds apart; it needs a supplier."""
    assert on(worked_yard, "office", "--purchase") == 2
    capsys.readouterr()

    assert on(worked_yard, "office", "--purchase", "--supplier", "Harrow Plumbing", "--form", "text") == 0

    sheet = capsys.readouterr().out
    assert "Harrow Plumbing" in sheet
    assert "T1-H1" in sheet
    assert max(map(len, sheet.splitlines())) <= 80
    yard = load_yard(worked_yard, load())
    bought = [bay for bay in yard.bays if bay.code in sheet.split() and bay.buying_per_kg is not None]
    assert bought
    for bay in bought:
        assert f"{bay.buying_per_kg:.2f}" in sheet
        assert f"{bay.price_per_kg:.2f}" not in sheet


def test_a_receipt_says_who_brought_what_and_who_pays(worked_yard: Path, capsys: Capture) -> None:
    """Supplier, vehicle, type, weight, price and payer in every form; refused without supplier or metal."""
    asked = ("office", "--receipt", "--supplier", "Harrow Plumbing", "--vehicle", "van 3", "--payer", "Ilse")
    assert on(worked_yard, "office", "--receipt") == 2
    assert on(worked_yard, "office", "--receipt", "--supplier", "Nobody") == 2
    assert "nothing stands of supplier Nobody" in capsys.readouterr().err

    assert on(worked_yard, *asked, "--form", "json") == 0
    said = json.loads(capsys.readouterr().out)
    assert (said["vehicle"], said["payer"], said["supplier"]) == ("van 3", "Ilse", "Harrow Plumbing")
    assert said["cents"] == sum(line["cents"] or 0 for line in said["lines"]) > 0
    assert sum(one["mass_g"] for one in (*said["lines"], *said["on_hold"])) == 16_400
    for form in ("text", "html"):
        assert on(worked_yard, *asked, "--form", form) == 0
        text = capsys.readouterr().out
        assert all(one in text for one in ("van 3", "Ilse", "Harrow Plumbing", "T1-H1", said["ledger_row"]))
        assert f"{said['cents'] / 100:.2f}" in text


def test_commands_on_a_damaged_store_say_so(yard_folder: Path, capsys: Capture) -> None:
    """A file that is no store is told in words, status 2, and not touched."""
    store = yard_folder / "yard.sqlite3"
    store.write_bytes(b"this is no database, but it was somebody's file" * 40)

    for words in (["tally"], ["verify"], ["handover"], ["enter", "-"]):
        assert on(yard_folder, *words) == 2
        said = capsys.readouterr().err
        assert "yard.sqlite3" in said
        assert "Traceback" not in said
    assert store.read_bytes().startswith(b"this is no database")
