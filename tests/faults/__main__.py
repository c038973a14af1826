"""Runs the fault matrix: `python -m tests.faults [WORDS OF PYTEST]`; prints a line for every promise."""

import ast
import sys
from pathlib import Path

import pytest

HERE = Path(__file__).parent


class Promises:
    """Gathers which promises were kept, by the test that holds them."""

    def __init__(self) -> None:
        self.broken: dict[str, bool] = {}

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """Take note of a test."""
        if report.when == "call" or report.failed:
            name = report.nodeid.split("::")[1].split("[")[0]
            key = f"{Path(report.nodeid.split('::')[0]).name}::{name}"
            self.broken[key] = self.broken.get(key, False) or report.failed


def main() -> int:
    """Return 0 when every promise was kept."""
    promises = Promises()
    status = int(pytest.main([str(HERE), "-q", *sys.argv[1:]], plugins=[promises]))
    for file in sorted(HERE.glob("test_*.py")):
        module = ast.parse(file.read_text(encoding="utf-8"))
        print(f"\n{ast.get_docstring(module)}")
        for node in module.body:
            if isinstance(node, ast.FunctionDef) and node.name.startswith("test_"):
                broken = promises.broken.get(f"{file.name}::{node.name}")
                word = "not run" if broken is None else "BROKEN" if broken else "kept"
                print(f"  {word:8}{' '.join((ast.get_docstring(node) or node.name).split())}")
    return status


if __name__ == "__main__":
    sys.exit(main())
