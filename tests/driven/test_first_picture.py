"""What the first picture may cost."""

import subprocess
import sys

from tests.driven.pty_session import ROOT

HEAVY = ("numpy", "rapidfuzz", "sqlite3", "sqlite_utils", "filelock", "jinja2", "grade_library.library")


def test_nothing_heavy_comes_before_the_first_picture() -> None:
    """The console's own modules import neither numpy nor the store nor the library."""
    code = f"import sys, console.app, console.cli; print([name for name in {HEAVY!r} if name in sys.modules])"
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)

    assert done.stdout.strip() == "[]"


def test_screens_and_panes_import_only_from_lower_floors() -> None:
    """A pane never imports a screen, the desk or the app; a screen never imports the app."""
    for folder, forbidden in (
        ("panes", ("console.screens", "console.desk", "console.app")),
        ("screens", ("console.app",)),
    ):
        for path in (ROOT / "console" / folder).glob("*.py"):
            for row in path.read_text(encoding="utf-8").splitlines():
                words = row.split()
                if len(words) > 1 and words[0] in ("from", "import"):
                    assert not words[1].startswith(forbidden), f"{path.name}: {row}"
