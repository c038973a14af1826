"""The search for the best sale in a process of its own: nobody waits at the keys, and it ends when told to.

The solver prints to standard output now and then: there it goes nowhere, spoiling neither screen nor JSON.
"""

import importlib.util
import os
import pickle
import subprocess
import sys
from contextlib import suppress

from console.yard.selling.plan import SalePlan, best_sale
from console.yard.selling.reach import NO_EXTRA
from console.yard.selling.sale import PlanError, Sale

ENDED = "The search ended without an answer (exit status {status}); try again."


class Search:
    """One search that was begun."""

    def __init__(self, sale: Sale, seconds: float) -> None:
        """Begin to look for the best sale.

        Args:
            sale: Sources and outlets.
            seconds: As `plan.best_sale` has it.

        Raises:
            PlanError: scipy is not there.
        """
        if importlib.util.find_spec("scipy") is None:
            raise PlanError(NO_EXTRA)
        self._asked = pickle.dumps((sale, seconds))
        self._process = subprocess.Popen(
            [sys.executable, "-m", "console.yard.selling.apart"],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
        )

    def found(self) -> SalePlan:
        """Wait for the plan.

        Raises:
            PlanError: Nothing was found, or the search was ended; the message says why.
        """
        try:
            answer, _ = self._process.communicate(self._asked)
        finally:
            self.end()
        if self._process.returncode != 0 or not answer:
            raise PlanError(ENDED.format(status=self._process.returncode))
        plan = pickle.loads(answer)
        if isinstance(plan, SalePlan):
            return plan
        raise PlanError(str(plan))

    def end(self) -> None:
        """End the search, if it is not over."""
        with suppress(OSError):
            self._process.kill()


def main() -> None:
    """Answer one search: read it from standard input, write the plan or why there is none."""
    with os.fdopen(os.dup(1), "wb") as answer:
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, 1)
        sale, seconds = pickle.load(sys.stdin.buffer)
        try:
            said: SalePlan | str = best_sale(sale, seconds=seconds)
        except PlanError as why:
            said = str(why)
        pickle.dump(said, answer)


if __name__ == "__main__":
    main()
