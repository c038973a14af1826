"""The list of faults stays one that can be run."""

import ast
from pathlib import Path

from tests.mutate import Mutation, is_stale, listed

ROOT = Path(__file__).resolve().parent.parent


def broken(mutation: Mutation) -> str:
    """Return the code with the fault in it."""
    return (ROOT / mutation.file).read_text(encoding="utf-8").replace(mutation.old, mutation.new)


def test_listed_faults_can_be_put_in() -> None:
    """At least 150 old texts stand in the code exactly once, few have gone, and each new one is code."""
    faults = list(listed())
    stale = [f"{one.file}: {one.old}" for one in faults if is_stale(one)]

    assert len(faults) - len(stale) >= 150
    assert len(stale) <= len(faults) // 20, stale
    for one in faults:
        if not is_stale(one):
            ast.parse(broken(one))
    assert all(one.old != one.new and one.why for one in faults)


def test_their_tests_are_there() -> None:
    """Every fault names tests that exist."""
    assert [name for one in listed() for name in one.tests if not (ROOT / name).exists()] == []
