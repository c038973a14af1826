"""A yard of its own for every test, and one reading of the style sheets for all of them."""

import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from textual.css.model import RuleSet
from textual.css.stylesheet import Stylesheet

DEMO_YARD = Path(__file__).resolve().parents[2] / "demo_yard"


@pytest.fixture
def yard(tmp_path: Path) -> Path:
    """A fresh folder with the demo yard's yard.toml, no readings and no store."""
    folder = tmp_path / "yard"
    (folder / "readings").mkdir(parents=True)
    shutil.copy(DEMO_YARD / "yard.toml", folder)
    return folder


@pytest.fixture(scope="session", autouse=True)
def sheets_read_once() -> Iterator[None]:
    """Read every style sheet once in the colours of a theme, not anew for every console."""
    read, rules = Stylesheet._parse_rules, dict[object, list[RuleSet]]()

    def known(sheet: Stylesheet, *words: Any, **named: Any) -> list[RuleSet]:
        key = (tuple(sheet._variables.items()), words, tuple(named.items()))
        if key not in rules:
            rules[key] = read(sheet, *words, **named)
        return rules[key]

    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(Stylesheet, "_parse_rules", known)
        yield
