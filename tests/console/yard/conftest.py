"""What the tests of the yard share: the shipped grades and a small yard.toml to spoil."""

import tempfile
from pathlib import Path

import pytest

from console.yard.yard import Yard
from grade_library.library import GradeLibrary, load
from tests.yards import load_yard

SMALL_YARD = """\
# the yard's own words
name = "test yard"
weight_unit = "kg"
currency = "EUR"
people = ["Ilse", "Jory"]  # who works here
emergency_number = ""

[piece_scale]
name = "bench scale"
division = "20 g"
largest = "300 kg"

[ticket_scale]
name = "platform scale"
division = "500 g"
largest = "3 t"

[thresholds]
settled = 0.90
leaning = 0.60
veto = 0.05

[[bay]]
code = "STN"
name = "18-8"
accepts = ["300"]
refuses = ["200"]
element_limits = { Cu = 0.75 }
refuses_attachments = true
price_per_kg = 1.4
downgrade_per_kg = 0.4
bale = "800 kg"

[[bay]]
code = "STM"
name = "316"
accepts = ["316", "316L"]
refused_surfaces = ["painted"]
price_per_kg = 2.3
downgrade_per_kg = 0.4

[[bay]]
code = "SMX"
name = "stainless mixed"
accepts = ["stainless"]
price_per_kg = 0.5
downgrade_per_kg = 0.2

[[bay]]
code = "HLD"
name = "hold"
is_hold = true
"""


@pytest.fixture(scope="session")
def library() -> GradeLibrary:
    return load()


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with a small yard.toml that is right."""
    (tmp_path / "yard.toml").write_text(SMALL_YARD, encoding="utf-8")
    return tmp_path


def spoil(folder: Path, old: str, new: str) -> None:
    """Replace one stretch of the folder's yard.toml."""
    file = folder / "yard.toml"
    text = file.read_text(encoding="utf-8")
    assert text.count(old) == 1, old
    file.write_text(text.replace(old, new), encoding="utf-8")


def yard_of_text(text: str, library: GradeLibrary) -> Yard:
    """Read a yard from the text of its yard.toml."""
    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / "yard.toml").write_text(text, encoding="utf-8")
        return load_yard(Path(folder), library)
