"""The plan of the house holds: floors, sizes, purity of the core."""

import ast
import builtins
import subprocess
import sys
from collections.abc import Iterator
from functools import cache
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
    "drawing": {"grade_library", "ground", "readings", "entry", "yard", "ledger"},
    "panes": {"grade_library", "ground", "readings", "entry", "yard", "ledger", "drawing"},
    "reports": {"grade_library", "ground", "readings", "entry", "yard", "ledger"},
    "desk": {"grade_library", "ground", "readings", "entry", "yard", "ledger", "reports"},
    "screens": {
        "grade_library",
        "ground",
        "readings",
        "entry",
        "yard",
        "ledger",
        "drawing",
        "panes",
        "reports",
        "desk",
    },
    "app": {
        "grade_library",
        "ground",
        "readings",
        "entry",
        "yard",
        "ledger",
        "drawing",
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
    "cli": {"app", "commands", "ground"},
}
LONGEST_FILE = 400
LONGEST_FUNCTION = 40
SOURCES = sorted([*(ROOT / "grade_library").rglob("*.py"), *(ROOT / "console").rglob("*.py")])

BUILT_IN_ERRORS = {name for name in dir(builtins) if name.endswith(("Error", "Exception"))}


@cache
def parsed(file: Path) -> ast.Module:
    """Return the tree of a module."""
    return ast.parse(file.read_text(encoding="utf-8"))


def room_of(parts: tuple[str, ...]) -> str:
    """Return the room of a module path such as ("console", "yard", "bay")."""
    if parts[0] == "grade_library":
        return "grade_library"
    if len(parts) > 2 or parts[-1] in ("cli", *MAY_IMPORT):
        return parts[1]
    return "app"  # the modules beside app.py: terminal, themes, half_typed


def imports_of(file: Path) -> Iterator[tuple[int, str]]:
    """Yield line and room of every import of the project in a file."""
    for node in ast.walk(parsed(file)):
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
    functions = [n for n in ast.walk(parsed(file)) if isinstance(n, ast.FunctionDef | ast.AsyncFunctionDef)]

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


def test_every_error_of_ours_has_the_one_base() -> None:
    """Whatever the program refuses with is a BaywrightError, so that one handler tells it."""
    errors = {file: [n for n in ast.walk(parsed(file)) if isinstance(n, ast.ClassDef)] for file in SOURCES}
    bases = {
        one.name: {ast.unparse(base) for base in one.bases} for found in errors.values() for one in found
    }
    outside = {name for name, found in bases.items() if found & BUILT_IN_ERRORS} - {"BaywrightError"}

    assert {name for name in outside if "BaywrightError" not in bases[name]} == set()


def test_no_command_catches_only_to_say_the_same() -> None:
    """What a command cannot do is told in one place, the command line's own."""
    said_again = [
        f"{file.name}:{node.lineno}"
        for file in SOURCES
        for node in ast.walk(parsed(file))
        if isinstance(node, ast.ExceptHandler)
        and ast.unparse(node.body[-1]) in ("refuse(str(error))", "raise CommandRefusal(str(error))")
    ]

    assert said_again == []
