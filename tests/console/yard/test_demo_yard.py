"""The demo yard is a yard that works."""

from pathlib import Path

from console.entry.parse import parse_line
from console.readings.csv_rows import pieces_of_rows
from console.readings.file_text import rows_of
from console.readings.shot_text import shots_as_line
from console.yard.new.demo import open_demo
from console.yard.placing.place import place
from grade_library.library import GradeLibrary
from grade_library.matcher.matching import identify
from grade_library.naming.names import NameIndex
from tests.yards import load_yard

DEMO = Path(__file__).parents[3] / "demo_yard"


def test_the_demo_yard_loads(library: GradeLibrary) -> None:
    """The demo yard is a right yard with prices and no invented emergency number."""
    yard = load_yard(DEMO, library)

    assert 14 <= len(yard.bays) <= 22
    assert all(bay.price_per_kg > bay.downgrade_per_kg for bay in yard.bays if not bay.is_hold)
    assert yard.emergency_number == ""


def test_the_file_says_that_it_is_invented() -> None:
    """The first line of the demo yard says that it is made up."""
    assert "invented" in (DEMO / "yard.toml").read_text(encoding="utf-8").splitlines()[0]


def test_common_pieces_find_their_bay(library: GradeLibrary) -> None:
    """Plain lines of the trade go where the demo yard wants them."""
    yard, names = load_yard(DEMO, library), NameIndex(library)
    expected = {
        "12.4 6063 .e": "AXC",
        "12.4 6063 .e +p": "AMX",
        "3 3003 sheet": "ALO",
        "6.3 356 cast": "ACM",
        "18 304 m0": "STN",
        "4 316 cr16.8 ni10.2 mo2.1 fe68.4": "STM",
        "7 430 m2": "SFC",
        "4.6 c36000 bar": "YBR",
        "2 c83600 cast": "RBZ",
        "25 c11000 kr": "CUB",
        "8 lead sheet h5": "LDS",
        "2 c95400 cast": "ABZ",
        "2 manganese bronze cast": "ABZ",
        "0.8 az91d cast": "MGX",
        "1 tin sn99.8": "TNS",
        "4 6061 turnings": "ALO",
        "1 c17200 strip": "HLD",
        "2 #": "HLD",
    }

    found = {}
    for line in expected:
        parsed = parse_line(line, names=names, yard=yard)
        found[line] = place(identify(parsed.facts, library), parsed.facts, parsed.mass_g, yard).bay.code

    assert found == expected


def test_the_shift_is_understood_and_shows_one_of_everything(library: GradeLibrary) -> None:
    """Each of its 74 lines can be tallied; a handful wait on hold, and nearly every bay gets something."""
    yard, names = load_yard(DEMO, library), NameIndex(library)
    lines = [
        line
        for line in (DEMO / "shift.txt").read_text(encoding="utf-8").splitlines()
        if line and not line.startswith("#")
    ]

    codes = []
    for line in lines:
        parsed = parse_line(line, names=names, yard=yard)
        assert parsed.can_be_tallied, (line, parsed.problems)
        placed = place(identify(parsed.facts, library), parsed.facts, parsed.mass_g, yard)
        codes.append("HLD" if parsed.is_hold else placed.bay.code)

    assert len(lines) == 74
    assert 4 <= codes.count("HLD") <= 12
    assert {bay.code for bay in yard.bays} == set(codes)


def test_its_readings_are_read_and_find_their_bays(library: GradeLibrary) -> None:
    """The file in the folder for readings fits the yard's own mapping; its plated piece was ground twice."""
    yard, names = load_yard(DEMO, library), NameIndex(library)
    assert yard.readings_files.folder is not None
    landed = {}
    for file in sorted((DEMO / yard.readings_files.folder).iterdir()):
        rows = rows_of(file.read_bytes(), file.stem, yard.readings_files).rows
        pieces = pieces_of_rows([(row.line, row.cells) for row in rows], techniques=yard.techniques)
        for piece in pieces:
            line = f"2 {shots_as_line(piece.facts.shots, yard.technique)}"
            facts = parse_line(line, names=names, yard=yard).facts
            verdict = identify(facts, library, None, yard.techniques)
            landed[piece.piece] = place(verdict, facts, 2000, yard).bay.code

    assert landed == {"K1": "STN", "K2": "YBR", "K3": "STM", "K4": "RBZ"}


def test_a_copy_of_the_demo_brings_its_readings(tmp_path: Path) -> None:
    """What `baywright` offers where there is no yard has the folder too; a second start changes nothing."""
    for _ in range(2):
        folder = open_demo(tmp_path / "demo")

        assert [file.name for file in (folder / "readings").iterdir()] == ["bench-gun.csv"]
