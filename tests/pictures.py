"""Draw the console: `python -m tests.pictures` writes the texts that tests compare and the README's SVGs.

The texts lie in tests/driven/pictures, the SVGs in demo_yard/pictures. A test fails when a screen no longer
looks like its text, or when an SVG was drawn from another text. Look at what changed before keeping it.
"""

import asyncio
import hashlib
import os
import shutil
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from tests.driven.driving import console
from tests.driven.states import STATES, State

ROOT = Path(__file__).resolve().parent.parent
PICTURES = ROOT / "tests" / "driven" / "pictures"
SVGS = ROOT / "demo_yard" / "pictures"
IN_README = (
    "sorting-80x24",
    "sorting-110x30",
    "sorting-160x45",
    "review-110x30",
    "close-out-110x30",
    "grade-card-110x30",
)
MARK = "<!-- drawn from "


async def text_of(state: State, yard: Path) -> tuple[str, str]:
    """Return text and SVG of a state, on a fresh yard in that folder; advice that comes later is left out."""
    file = yard / "yard.toml"
    file.write_text(
        f"{file.read_text(encoding='utf-8')}\n[console]\nshow_next_check = false\n", encoding="utf-8"
    )
    with in_utc():
        return await _drawn(state, yard)


async def _drawn(state: State, yard: Path) -> tuple[str, str]:
    async with console(yard, size=state.size) as driver:
        await state.reach(driver)
        text = "\n".join(row.rstrip() for row in driver.picture().splitlines()) + "\n"
        return text, driver.app.export_screenshot(title="Baywright")


@contextmanager
def in_utc() -> Iterator[None]:
    """Let local times be the same everywhere."""
    before = os.environ.get("TZ")
    os.environ["TZ"] = "UTC"
    time.tzset()
    try:
        yield
    finally:
        if before is None:
            del os.environ["TZ"]
        else:
            os.environ["TZ"] = before
        time.tzset()


def digest(text: str) -> str:
    """Return what tells one text from another."""
    return hashlib.sha256(text.encode()).hexdigest()[:16]


def stale_svgs() -> list[str]:
    """Return the SVGs that are missing or were drawn from another text than the one kept."""
    stale = []
    for name in IN_README:
        text = (PICTURES / f"{name}.txt").read_text(encoding="utf-8")
        svg = SVGS / f"{name}.svg"
        if not svg.is_file() or f"{MARK}{digest(text)}" not in svg.read_text(encoding="utf-8"):
            stale.append(name)
    return stale


async def draw(state: State) -> bool:
    """Write one state's text, and its SVG where the README shows it; tell whether the text changed."""
    with tempfile.TemporaryDirectory() as scratch:
        yard = Path(scratch)
        shutil.copy(ROOT / "demo_yard" / "yard.toml", yard)
        (yard / "readings").mkdir()
        text, svg = await text_of(state, yard)
    file = PICTURES / f"{state.name}.txt"
    has_changed = not file.is_file() or file.read_text(encoding="utf-8") != text
    file.write_text(text, encoding="utf-8")
    if state.name in IN_README and (has_changed or state.name in stale_svgs()):
        (SVGS / f"{state.name}.svg").write_text(f"{svg}\n{MARK}{digest(text)} -->\n", encoding="utf-8")
    return has_changed


def main() -> int:
    """Draw every state; return 0."""
    for folder in (PICTURES, SVGS):
        folder.mkdir(exist_ok=True)
    for state in STATES:
        changed = asyncio.run(draw(state))
        print(f"{state.name}: {'drawn' if changed else 'as before'}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
