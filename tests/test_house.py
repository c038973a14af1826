"""The plan of the house holds: floors, sizes, purity of the core."""

import ast
import builtins
import subprocess
import sys
import tomllib
from collections import Counter
from collections.abc import Iterator
from functools import cache
from pathlib import Path

from console.cli import COMMANDS, command_module
from console.screens.opening import MODULES

ROOT = Path(__file__).resolve().parent.parent
FLOORS = (
    "grade_library", "ground", "readings", "entry", "yard", "ledger", "office", "reports", "desk", "drawing",
    "panes", "screens", "app", "commands", "cli",
)  # fmt: skip
"""From the ground up: a room imports from those below it."""
NOT_FROM = {
    "drawing": {"reports", "desk"},
    "panes": {"reports", "desk"},
    "commands": {"drawing", "panes", "screens"},
    "cli": set(FLOORS) - {"ground", "app", "commands"},
}
"""Room -> rooms below it from which it takes nothing all the same."""
MAY_IMPORT = {room: set(FLOORS[:floor]) - NOT_FROM.get(room, set()) for floor, room in enumerate(FLOORS)}
LONGEST_FILE = 400
LONGEST_FUNCTION = 40
LONGEST_CLASS, MOST_METHODS = 200, 15
"""Counted over a class and its own bases, so that none is spread over several."""
MOST_MODULES = 15
UPPER_ROOMS = ("desk", "drawing", "panes", "screens", "app")
"""Their classes and folders are held by test_house_screens."""
SOURCES = sorted([*(ROOT / "grade_library").rglob("*.py"), *(ROOT / "console").rglob("*.py")])
TESTS = sorted((ROOT / "tests").rglob("test_*.py"))

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


def test_a_room_imports_only_from_lower_floors() -> None:
    """No module reaches up: data flows one way."""
    rooms = {file: room_of(file.relative_to(ROOT).with_suffix("").parts) for file in SOURCES}

    assert [
        f"{file.relative_to(ROOT)}:{line} takes from {other}"
        for file, room in rooms.items()
        for line, other in imports_of(file)
        if other not in MAY_IMPORT[room] | {room}
    ] == []


def test_files_and_functions_stay_short() -> None:
    """A file past 400 lines is two, a function past 40 is two."""
    lengths = {file: len(file.read_text(encoding="utf-8").splitlines()) for file in SOURCES}
    functions = [
        (f"{file.relative_to(ROOT)}: {node.name}", (node.end_lineno or 0) - node.lineno)
        for file in SOURCES
        for node in ast.walk(parsed(file))
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
    ]

    assert {file for file, lines in lengths.items() if lines > LONGEST_FILE} == set()
    assert [name for name, lines in functions if lines > LONGEST_FUNCTION] == []


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


def lower_classes() -> dict[str, ast.ClassDef]:
    """Return every class below the desk, and those of the commands, by its name."""
    return {
        node.name: node
        for file in SOURCES
        if room_of(file.relative_to(ROOT).with_suffix("").parts) not in UPPER_ROOMS
        for node in ast.walk(parsed(file))
        if isinstance(node, ast.ClassDef)
    }


def with_bases(node: ast.ClassDef, known: dict[str, ast.ClassDef]) -> Iterator[ast.ClassDef]:
    """Yield a class and all classes of ours that it comes from."""
    yield node
    for base in node.bases:
        plain = base.value if isinstance(base, ast.Subscript) else base
        if isinstance(plain, ast.Name) and plain.id in known:
            yield from with_bases(known[plain.id], known)


def test_a_class_stays_small_counted_over_its_own_bases() -> None:
    """A class of many lines or methods is several, however it is spread."""
    known = lower_classes()
    for name, node in known.items():
        family = list(with_bases(node, known))
        lines = sum((one.end_lineno or 0) - one.lineno + 1 for one in family)
        methods = sum(
            isinstance(one, ast.FunctionDef | ast.AsyncFunctionDef) for n in family for one in n.body
        )

        assert (lines <= LONGEST_CLASS, methods <= MOST_METHODS) == (True, True), name


def test_a_folder_holds_few_modules() -> None:
    """What is looked for is found at a glance."""
    modules = Counter(file.parent for file in SOURCES if file.name != "__init__.py")

    assert {folder for folder, many in modules.items() if many > MOST_MODULES} == set()


def names_imported_by(file: Path) -> Iterator[str]:
    """Yield every dotted name that a file imports, modules and what is taken out of them."""
    for node in ast.walk(parsed(file)):
        if isinstance(node, ast.ImportFrom):
            yield from (f"{node.module}.{alias.name}" for alias in node.names)
            yield str(node.module)
        elif isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)


def test_no_module_is_for_tests_alone() -> None:
    """Whatever stands in the program is reached from its command line or its screens."""
    used = {name for file in SOURCES for name in names_imported_by(file)} | {"console.cli"}
    used |= {command_module(name).__name__ for name in COMMANDS}
    used |= {f"console.screens.{module}" for module in MODULES.values()}
    modules = (file.relative_to(ROOT).with_suffix("") for file in SOURCES if file.name != "__init__.py")

    assert [name for name in (".".join(module.parts) for module in modules) if name not in used] == []


def test_every_test_states_its_promise() -> None:
    """A test that does not say what it promises cannot be judged when it fails."""
    assert [
        f"{file.relative_to(ROOT)}: {node.name}"
        for file in TESTS
        for node in ast.walk(parsed(file))
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
        if node.name.startswith("test_") and not ast.get_docstring(node)
    ] == []


def test_types_are_checked_strictly_everywhere() -> None:
    """No room is excepted from the strict check of types."""
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["mypy"]

    assert settings["strict"] is True
    assert [one for one in settings["overrides"] if set(one) - {"module", "ignore_missing_imports"}] == []
