"""A yard of its own for every test."""

import shutil
from pathlib import Path

import pytest

DEMO_YARD = Path(__file__).resolve().parents[2] / "demo_yard"


@pytest.fixture
def yard(tmp_path: Path) -> Path:
    """A fresh folder with the demo yard's yard.toml, no readings and no store."""
    folder = tmp_path / "yard"
    (folder / "readings").mkdir(parents=True)
    shutil.copy(DEMO_YARD / "yard.toml", folder)
    return folder
