"""The README says what the program does."""

from tests.readme import README, fresh


def test_readme_blocks_are_fresh() -> None:
    """Grammar, keys and library figures in the README are those of the program."""
    text = README.read_text(encoding="utf-8")

    assert fresh(text) == text, "run python -m tests.readme"
