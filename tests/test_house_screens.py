"""The plan of the upper rooms holds: sizes of classes, one door to the ledger, keys that lead somewhere."""

import ast
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

from textual.binding import Binding

from console.screens.keys.sorting import FURTHER_ACTIONS, KEYLESS_ACTIONS, SORTING_KEYS
from console.screens.keys.tables import KEY_TABLES
from console.screens.opening import MODULES
from console.screens.review.mending import Mending
from console.screens.sorting.sorting_screen import SortingScreen

ROOT = Path(__file__).resolve().parent.parent
UPPER = [ROOT / "console" / room for room in ("desk", "drawing", "panes", "screens")]
FILES = sorted([file for room in UPPER for file in room.rglob("*.py")] + [*(ROOT / "console").glob("*.py")])
ON_SCREEN = [file for file in FILES if file.parts[len(ROOT.parts) + 1] in ("drawing", "panes", "screens")]
LONGEST_CLASS, MOST_METHODS = 200, 15
LONGEST_SCREEN = 150
WIDGETS = {"DrawnPane", "ConsoleScreen", "App", "ModalScreen", "ScrollView", "Input"}
"""Classes that handle messages and keys one method each: of these the lines count."""


@cache
def classes() -> dict[str, ast.ClassDef]:
    """Return every class of the upper rooms by its name."""
    return {
        node.name: node
        for file in FILES
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8")))
        if isinstance(node, ast.ClassDef)
    }


def names_of_bases(node: ast.ClassDef) -> list[str]:
    """Return the names of the classes that a class names as its bases."""
    plain = (base.value if isinstance(base, ast.Subscript) else base for base in node.bases)
    return [base.id for base in plain if isinstance(base, ast.Name)]


def with_bases(name: str) -> Iterator[str]:
    """Yield a class and all classes that it comes from, by name."""
    yield name
    for base in names_of_bases(classes()[name]) if name in classes() else ():
        yield from with_bases(base)


def test_a_class_stays_small_counted_over_its_own_bases() -> None:
    """A class spread over several is one large class; a screen is smaller still."""
    for name in classes():
        family = set(with_bases(name))
        nodes = [classes()[one] for one in family if one in classes()]
        lines = sum((node.end_lineno or 0) - node.lineno + 1 for node in nodes)
        is_screen = bool(family & {"ConsoleScreen", "ModalScreen", "App"})
        methods = sum(
            isinstance(one, ast.FunctionDef | ast.AsyncFunctionDef) for n in nodes for one in n.body
        )

        assert lines <= (LONGEST_SCREEN if is_screen else LONGEST_CLASS), name
        assert family & WIDGETS or methods <= MOST_METHODS, name


def test_screens_and_panes_reach_the_ledger_through_the_desk_alone() -> None:
    """No module of the ledger is imported at run time, and nobody asks the desk for the ledger."""
    assert [said for file in ON_SCREEN for said in reaching_the_ledger(file)] == []


def reaching_the_ledger(file: Path) -> Iterator[str]:
    """Yield where a module takes from the ledger at run time."""
    tree = ast.parse(file.read_text(encoding="utf-8"))
    typing_only = {
        id(one)
        for node in ast.walk(tree)
        if isinstance(node, ast.If) and ast.unparse(node.test) == "TYPE_CHECKING"
        for one in ast.walk(node)
    }
    for node in ast.walk(tree):
        is_import = isinstance(node, ast.ImportFrom) and id(node) not in typing_only
        if is_import and (node.module or "").startswith("console.ledger"):
            yield f"{file.name}:{node.lineno}"
        if isinstance(node, ast.Attribute) and node.attr == "ledger":
            yield f"{file.name}:{node.lineno} {ast.unparse(node)}"


def test_every_key_of_the_sorting_screen_names_a_part_and_an_act_of_it() -> None:
    """do('part.act') is a method of a part; app.open('name') is a screen that there is."""
    screen = SortingScreen()
    actions = [one.action for one in SORTING_KEYS if isinstance(one, Binding)]
    actions += [action for action, _ in (*FURTHER_ACTIONS, *KEYLESS_ACTIONS)]
    for action in actions:
        if part := re.match(r"do\('([\w.]+)'", action):
            target: object = screen
            for name in part[1].split("."):
                target = getattr(target, name)
            assert callable(target), action
        elif opened := re.match(r"app\.open\('([\w-]+)'\)", action):
            assert opened[1] in MODULES, action
        else:
            assert action in ("app.undo", "app.redo"), action


def test_every_mending_key_of_the_review_names_an_act() -> None:
    """mend('act') is a method of Mending."""
    [table] = [table for table in KEY_TABLES if table.screen == "review"]
    acts = [re.match(r"mend\('(\w+)'\)", one.action) for one in table.bindings if isinstance(one, Binding)]

    named = [act[1] for act in acts if act]
    assert len(named) == 8
    assert all(callable(getattr(Mending, act)) for act in named)
