"""Write the parts of README.md that are made from the program's own tables: `python -m tests.readme`.

A test fails while the README says something else than the tables.
"""

import re
import sys
from collections import Counter
from collections.abc import Iterable
from pathlib import Path

from textual.binding import Binding

from console.app import ConsoleApp
from console.cli import COMMANDS, command_module
from console.entry.grammar import GRAMMAR
from console.screens.keys.printed import printed
from console.screens.keys.tables import KEY_TABLES
from grade_library.auditing.citations import RECKONED, values_by_kind
from grade_library.library import load
from tests.driven.keystrokes import TWENTY

README = Path(__file__).resolve().parent.parent / "README.md"


def table(head: tuple[str, ...], rows: Iterable[tuple[str, ...]]) -> str:
    """Return a Markdown table; bars in cells are escaped."""
    lines = [head, ("---",) * len(head), *rows]
    return "\n".join("| " + " | ".join(cell.replace("|", "\\|") for cell in line) + " |" for line in lines)


def grammar_block() -> str:
    """Return the entry line's grammar as a table."""
    rows = ((row.topic, row.how, f"`{row.example}`", row.meaning) for row in GRAMMAR)
    return table(("topic", "how to type it", "example", "what it says"), rows)


def keys_block() -> str:
    """Return the keys of the screens as a table."""
    screens = {table.screen: table.bindings for table in KEY_TABLES} | {"every screen": ConsoleApp.BINDINGS}
    rows = []
    for screen, bindings in screens.items():
        for binding in bindings:
            assert isinstance(binding, Binding)
            if binding.tooltip:
                rows.append((screen, f"`{printed(binding.key.split(',')[0])}`", binding.tooltip))
    return table(("screen", "key", "what it does"), rows)


def library_block() -> str:
    """Return how many grades there are by group, and how many values come from a seen document."""
    library = load()
    groups = Counter(grade.group for grade in library.grades)
    limits = {kind: blocks["limits"] for kind, blocks in values_by_kind(library).items()}
    memory, reckoned = limits["memory"], limits[RECKONED]
    seen = sum(limits.values()) - memory - reckoned
    counts = ", ".join(f"{count} {group}" for group, count in sorted(groups.items(), key=lambda g: -g[1]))
    every = seen + memory + reckoned
    share = 100 * seen / every
    return (
        f"{len(library)} grades: {counts}. Of {every} element limits, {seen} ({share:.0f} %) were "
        f"taken from a document that was seen, {memory} are marked *memory*, and of {reckoned} (marked ~ on "
        "the card) an end was reckoned."
    )


def commands_block() -> str:
    """Return the commands with what they do and an example each."""
    rows = (
        (
            f"`baywright {name}`",
            text,
            f"`{command_module(name).EXAMPLE.splitlines()[0]}`",
        )
        for name, text in COMMANDS.items()
    )
    return table(("command", "what it does", "example"), rows)


def keystrokes_block() -> str:
    """Return what is typed for twenty common pieces, and how many keys that takes."""
    rows = ((one.piece, f"`{one.line}`", str(one.keys), one.bay) for one in TWENTY)
    return table(("piece", "typed, then Enter", "keys", "lands in"), rows)


BLOCKS = {
    "commands": commands_block,
    "grammar": grammar_block,
    "keys": keys_block,
    "library": library_block,
    "keystrokes": keystrokes_block,
}


def fresh(text: str) -> str:
    """Return the README with every block made anew."""
    for name, block in BLOCKS.items():
        pattern = re.compile(rf"(<!-- {name} -->\n).*?(<!-- /{name} -->)", re.DOTALL)
        content = block()
        text, found = pattern.subn(lambda match, new=content: f"{match[1]}{new}\n{match[2]}", text)
        assert found == 1, f"README.md needs one block {name}"
    return text


def main() -> int:
    """Rewrite README.md where it is stale; return 0."""
    README.write_text(fresh(README.read_text(encoding="utf-8")), encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
