"""The numbered steps of the office's schema, and the way up from an older one.

A step is a file of SQL in `steps/`. It is never edited once an office of that number exists; a change of
shape is a new step. Terminal and office each know their own number, and neither guesses what the other means.
"""

from importlib.resources import files

from console.office.address import Connection
from console.office.errors import OfficeStep, told_in_a_line

NEWEST = 6
"""The step that this program knows."""
_ONE_AT_A_TIME = 4_277_191
"""Advisory lock of whoever makes or upgrades an office (any number that nobody else takes)."""


def step_of(connection: Connection) -> int:
    """Return the step of the office, 0 where there is none yet."""
    with told_in_a_line():
        there = connection.execute("SELECT to_regclass('baywright.step') IS NOT NULL").fetchone()
        if not there or not there[0]:
            return 0
        found = connection.execute("SELECT coalesce(max(number), 0) FROM baywright.step").fetchone()
        return int(found[0]) if found else 0


def require_step(connection: Connection) -> None:
    """Raise unless office and program are of the same step.

    Raises:
        OfficeStep: With what is to be done, and where.
    """
    step = step_of(connection)
    if step == 0:
        raise OfficeStep(
            "There is no office in this database yet. Whoever owns the database makes it: "
            "baywright office --make --from ADDRESS"
        )
    if step < NEWEST:
        raise OfficeStep(
            f"The office is of step {step}, this program of step {NEWEST}. Whoever owns the database brings "
            "it up: baywright office --make --from ADDRESS. Nothing was changed."
        )
    if step > NEWEST:
        raise OfficeStep(
            f"The office is of step {step}, this program knows up to {NEWEST}. Install the newer program on "
            "this terminal. Nothing was changed."
        )


def climb(connection: Connection) -> tuple[int, int]:
    """Bring the office to the newest step, all steps or none; return the step before and after.

    Raises:
        OfficeStep: The office is newer than this program.
        OfficeError: The server refuses.
    """
    with told_in_a_line(), connection.transaction():
        connection.execute("SELECT pg_advisory_xact_lock(%s)", (_ONE_AT_A_TIME,))
        before = step_of(connection)
        if before > NEWEST:
            require_step(connection)
        for number in range(before + 1, NEWEST + 1):
            text = (files("console.office") / "steps" / f"step_{number}.sql").read_text(encoding="utf-8")
            connection.execute(text.encode())
            connection.execute("INSERT INTO baywright.step (number) VALUES (%s)", (number,))
    return before, NEWEST
