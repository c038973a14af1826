"""Feeds the program what nobody would: `python -m tests.fuzz --seconds N --seed S [--only KIND]`.

Lines, CSV, TOML, stores and keys, in turn until the time is over. Every case hangs on the seed and its number
only, and is named by them when it fails; a failure becomes a case of the suite.
"""

import argparse
import asyncio
import contextlib
import io
import os
import random
import shutil
import sys
import tempfile
import time
import traceback
from collections.abc import Callable
from pathlib import Path

from console.cli import main as command
from console.desk import Desk, consider_line, open_yardless
from tests.console.ledger.clock import SteppingClock
from tests.faults.damaging import make_store, tried

DEMO = Path(__file__).resolve().parents[1] / "demo_yard"
WORDS = (
    *(
        "12.4",
        "304",
        "cr18.2",
        "ni8.1",
        "<0.02",
        "nd",
        "/",
        "//",
        "?",
        "x3",
        "kg",
        "lb",
        "stn",
        "hld",
        ";",
        "m0",
        ".e",
    ),
    *(
        "+p",
        "cu",
        "6061-T6",
        "gas bottle",
        "=HYPERLINK(1)",
        "\x1b[2J",
        "\u202e",
        "\U000e0041",
        "e\u0301",
        "[red]",
        "-5",
    ),
    *("1,200", "9" * 40, "\x00", "\ud800", "'; DROP TABLE ledger; --", "../x", "NaN", "1e9", "µ", "½", "٣"),
)
SHIPPED_TOML = (DEMO / "yard.toml").read_text(encoding="utf-8")
PIECES_OF_TOML = (
    "[",
    "]",
    "{",
    "}",
    '"',
    "=",
    "\n",
    "\\u001b",
    "9" * 5000,
    "nan",
    "[[" * 500,
    "true",
    "-",
    "'''",
    "\x00",
)
KEYS = (
    *(
        "enter",
        "escape",
        "tab",
        "up",
        "down",
        "f1",
        "f2",
        "f3",
        "f4",
        "f5",
        "f6",
        "f8",
        "f9",
        "ctrl+p",
        "ctrl+f",
    ),
    *(
        "ctrl+y",
        "insert",
        "pagedown",
        "backspace",
        "1",
        "2",
        "3",
        "4",
        ".",
        " ",
        "s",
        "t",
        "n",
        "/",
        "x",
        "?",
        "f12",
    ),
)


class Bench:
    """A folder to work in, and what is costly to make."""

    def __init__(self, folder: Path) -> None:
        self.yard = folder / "yard"
        (self.yard / "readings").mkdir(parents=True)
        self.fresh_toml()
        self.known = open_yardless(self.yard)
        self.store = folder / "whole" / "yard.sqlite3"
        self.store.parent.mkdir()
        make_store(self.store)

    def fresh_toml(self) -> None:
        """Put the shipped yard.toml back, and take the store away with all that is known of it."""
        shutil.rmtree(os.environ["XDG_STATE_HOME"], ignore_errors=True)
        for file in self.yard.glob("yard.sqlite3*"):
            file.unlink()
        (self.yard / "yard.toml").write_text(SHIPPED_TOML, encoding="utf-8")


def spoiled(text: str, chance: random.Random, pieces: tuple[str, ...]) -> str:
    """Return a text with a few stretches cut out, doubled, or something put in."""
    for _ in range(chance.randrange(1, 6)):
        at = chance.randrange(len(text) + 1)
        until = at + chance.randrange(40)
        what = chance.choice(["", text[at:until] * 2, chance.choice(pieces), chr(chance.randrange(0x110000))])
        text = text[:at] + what + text[until:]
    return text


def lines(bench: Bench, chance: random.Random) -> None:
    """An entry line comes back as it was typed, problems and all, and shows nothing that a terminal obeys."""
    line = " ".join(chance.choice(WORDS) for _ in range(chance.randrange(1, 12)))
    if chance.random() < 0.3:
        line = "".join(chr(chance.randrange(0x110000)) for _ in range(chance.randrange(80)))
    considered = consider_line(line, bench.known)
    assert considered.parsed.tokens or considered.parsed.problems or not considered.parsed.line.strip()
    assert "\x1b" not in " ".join(considered.parsed.problems)


def csv(bench: Bench, chance: random.Random) -> None:
    """A readings file is read or told, by `identify` and by the folder."""
    text = (DEMO / "readings").glob("*.csv")
    content = spoiled(
        chance.choice([file.read_text(encoding="utf-8") for file in text]), chance, (*WORDS, ",", "\n", '"')
    )
    file = bench.yard / "readings" / "a.csv"
    file.write_bytes(content.encode("utf-8", "surrogatepass"))
    ended(["identify", "--readings", str(file), "--yard", str(bench.yard)], 0, 1, 2)


def toml(bench: Bench, chance: random.Random) -> None:
    """A yard.toml works or is told in a sentence."""
    text = spoiled(SHIPPED_TOML, chance, PIECES_OF_TOML)
    (bench.yard / "yard.toml").write_bytes(text.encode("utf-8", "surrogatepass"))
    ended(["bays", "--json", "--yard", str(bench.yard)], 0, 2)
    bench.fresh_toml()


def stores(bench: Bench, chance: random.Random) -> None:
    """A damaged store is told, verified, salvaged."""
    tried(bench.yard, bench.store, chance.randrange(10**9))


def keys(bench: Bench, chance: random.Random) -> None:
    """Whatever keys are pressed, the console answers, and the ledger stays whole."""
    from console.app import ConsoleApp

    bench.fresh_toml()

    async def press() -> None:
        app = ConsoleApp(bench.yard, now=SteppingClock())
        async with app.run_test(size=(chance.choice([80, 110]), chance.choice([24, 30]))) as pilot:
            async with asyncio.timeout(60):
                while app.desk is None:
                    await pilot.pause(0.05)
            for _ in range(60):
                await pilot.press(chance.choice(KEYS))

    asyncio.run(press())
    ended(["verify", "--yard", str(bench.yard)], 0)
    Desk.open(bench.yard, now=SteppingClock()).close()


def ended(words: list[str], *statuses: int) -> None:
    """Run a command; it must end with one of the statuses, and say nothing that a terminal obeys."""
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        status = command(words)
    assert status in statuses, f"{words}: status {status}, {err.getvalue()}"
    assert "\x1b" not in out.getvalue() + err.getvalue(), words


KINDS: dict[str, Callable[[Bench, random.Random], None]] = {
    "lines": lines, "csv": csv, "toml": toml, "stores": stores, "keys": keys,
}  # fmt: skip
TURNS = ("lines",) * 40 + ("csv",) * 8 + ("toml",) * 8 + ("stores",) * 2 + ("keys",)


def main() -> int:
    """Return 0 when nothing failed; print what did, with what makes it again."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--seconds", type=float, default=60.0)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--only", choices=KINDS)
    arguments = parser.parse_args()
    failed, counted = 0, dict.fromkeys(KINDS, 0)
    folder = Path(tempfile.mkdtemp())
    os.environ["XDG_STATE_HOME"] = str(folder / "state")
    try:
        bench = Bench(folder)
        end, number = time.monotonic() + arguments.seconds, 0
        while time.monotonic() < end:
            kind = arguments.only or TURNS[number % len(TURNS)]
            case = f"{arguments.seed}/{number}/{kind}"
            number += 1
            counted[kind] += 1
            try:
                KINDS[kind](bench, random.Random(case))
            except Exception:  # noqa: BLE001 - whatever comes out is what is looked for
                failed += 1
                print(f"FAILED {case}\n{traceback.format_exc()}", flush=True)
                bench.fresh_toml()
    finally:
        shutil.rmtree(folder)
    print(f"{failed} failed of {counted}")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
