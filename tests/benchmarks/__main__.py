"""Run one benchmark: `python -m tests.benchmarks NAME [options]`; NAME is a module of this folder with
main() -> int."""

import importlib
import importlib.util
import sys
from pathlib import Path

from console.commands.progress import end_all


def names() -> list[str]:
    """Return the benchmarks there are: modules of this folder that have a main()."""
    here = Path(__file__).parent
    return sorted(
        path.stem
        for path in here.glob("*.py")
        if not path.stem.startswith("_") and "\ndef main(" in path.read_text("utf-8")
    )


def main(arguments: list[str]) -> int:
    """Run the named benchmark with the remaining arguments in sys.argv; 2 when there is none of that name."""
    known = names()
    if not arguments or arguments[0] not in known:
        print(f"usage: python -m tests.benchmarks {{{','.join(known)}}} [options]", file=sys.stderr)
        return 2
    sys.argv = [f"tests.benchmarks {arguments[0]}", *arguments[1:]]
    module = importlib.import_module(f"tests.benchmarks.{arguments[0]}")
    try:
        return int(module.main())
    except KeyboardInterrupt:
        end_all()
        print(f"benchmark {arguments[0]}: stopped; nothing is kept of it", file=sys.stderr)
        return 130


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
