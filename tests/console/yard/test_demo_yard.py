"""The demo yard is a yard that works."""

from pathlib import Path

from console.entry.parse import parse_line
from console.yard.placing import place
from console.yard.yard_file import load_yard
from grade_library.library import GradeLibrary
from grade_library.matching import identify
from grade_library.names import NameIndex

DEMO = Path(__file__).parents[3] / "demo_yard"


def test_the_demo_yard_loads(library: GradeLibrary) -> None:
    yard = load_yard(DEMO, library)

    assert 14 <= len(yard.bays) <= 18
    assert all(bay.price_per_kg > bay.downgrade_per_kg for bay in yard.bays if not bay.is_hold)
    assert yard.emergency_number == ""


def test_the_file_says_that_it_is_invented() -> None:
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
        "2 #": "HLD",
    }

    found = {}
    for line in expected:
        parsed = parse_line(line, names=names, yard=yard)
        found[line] = place(identify(parsed.facts, library), parsed.facts, parsed.mass_g, yard).bay.code

    assert found == expected
