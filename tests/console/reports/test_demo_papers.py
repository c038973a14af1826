"""The papers that the demo yard shows are those that the program makes."""

from pathlib import Path

from tests.papers import PAPERS, comparable, written


def test_the_papers_of_the_demo_yard_are_fresh(tmp_path: Path) -> None:
    """Made up anew they come out the same, but for the fingerprint; python -m tests.papers writes them."""
    now = {name: comparable(text) for name, text in written(tmp_path).items()}

    assert now == {file.name: comparable(file.read_text(encoding="utf-8")) for file in PAPERS.iterdir()}
