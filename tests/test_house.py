"""The plan of the house holds: floors, sizes, purity of the core."""

import ast
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
MAY_IMPORT = {
    "grade_library": set(),
    "ground": {"grade_library"},
    "readings": {"grade_library", "ground"},
    "entry": {
        "grade_library",
        "ground",
        "readings",
        "yard",
    },  # the yard gives units, bay codes, largest weight
    "yard": {"grade_library", "ground", "readings", "entry"},  # yard.toml speaks the words of the entry line
    "ledger": {"grade_library", "ground", "readings", "entry", "yard"},
    "panes": {"grade_library", "ground", "readings", "entry", "yard", "ledger"},
    "reports": {"grade_library", "ground", "readings", "entry", "yard", "ledger"},
    "desk": {"grade_library", "ground", "readings", "entry", "yard", "ledger", "reports"},
    "screens": {"grade_library", "ground", "readings", "entry", "yard", "ledger", "panes", "reports", "desk"},
    "app": {
        "grade_library",
        "ground",
        "readings",
        "entry",
        "yard",
        "ledger",
        "panes",
        "reports",
        "desk",
        "screens",
    },
    "commands": {
        "grade_library",
        "ground",
        "readings",
        "entry",
        "yard",
        "ledger",
        "reports",
        "desk",
        "app",
        "commands",
    },
    "cli": {"app", "commands"},
}
LONGEST_FILE = 400
LONGEST_FUNCTION = 40
SOURCES = sorted([*(ROOT / "grade_library").rglob("*.py"), *(ROOT / "console").rglob("*.py")])


def room_of(parts: tuple[str, ...]) -> str:
    """Return the room of a module path such as ("console", "yard", "bay")."""
    if parts[0] == "grade_library":
        return "grade_library"
    if len(parts) > 2 or parts[-1] in ("cli", *MAY_IMPORT):
        return parts[1]
    return "app"  # the modules beside app.py: terminal, themes, half_typed


def imports_of(file: Path) -> Iterator[tuple[int, str]]:
    """Yield line and room of every import of the project in a file."""
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        names = []
        if isinstance(node, ast.ImportFrom) and node.module:
            names = [node.module]
        elif isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        for name in names:
            parts = tuple(name.split("."))
            if parts[0] in ("console", "grade_library"):
                yield node.lineno, room_of(parts)


@pytest.mark.parametrize("file", SOURCES, ids=lambda file: str(file.relative_to(ROOT)))
def test_a_room_imports_only_from_lower_floors(file: Path) -> None:
    """No module reaches up: data flows one way."""
    room = room_of(file.relative_to(ROOT).with_suffix("").parts)

    reached = {(line, other) for line, other in imports_of(file) if other != room}

    assert {other for _, other in reached} <= MAY_IMPORT[room], sorted(reached)


@pytest.mark.parametrize("file", SOURCES, ids=lambda file: str(file.relative_to(ROOT)))
def test_files_and_functions_stay_short(file: Path) -> None:
    """A file past 400 lines is two, a function past 40 is two."""
    text = file.read_text(encoding="utf-8")
    functions = [
        n for n in ast.walk(ast.parse(text)) if isinstance(n, ast.FunctionDef | ast.AsyncFunctionDef)
    ]

    assert len(text.splitlines()) <= LONGEST_FILE
    assert [f.name for f in functions if (f.end_lineno or 0) - f.lineno > LONGEST_FUNCTION] == []


def test_the_core_is_pure() -> None:
    """Importing the grade library brings no screen, no database and no console along."""
    code = (
        "import sys, grade_library.matcher.matching, grade_library.naming.names\n"
        "import grade_library.card, grade_library.auditing.audit\n"
        "known = {name.split('.')[0] for name in sys.modules}\n"
        "print(sorted(known & {'textual', 'sqlite3', 'console', 'scipy'}))"
    )

    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)

    assert done.stdout.strip() == "[]"


def test_top_level_holds_its_seven_entries() -> None:
    """Beside dot-files the top level has the seven entries of the plan."""
    listed = subprocess.run(
        ["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True
    ).stdout.split()

    top = {name.split("/")[0] for name in listed if not name.startswith(".")}

    assert top <= {
        "README.md", "DEVELOPERS.md", "pyproject.toml", "console", "grade_library", "tests", "demo_yard",
    }  # fmt: skip
