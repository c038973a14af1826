"""Ledgers that went two ways: told with the last common row, decided by a person, never by the program."""

from dataclasses import dataclass

from console.office.address import Connection
from console.office.chains import Chain
from console.office.errors import OfficeError, told_in_a_line
from console.office.schema import require_step


@dataclass(frozen=True, slots=True, kw_only=True)
class Fork:
    """Two chains of one ledger."""

    common_seq: int
    """The last common row; 0 where they share none."""
    twice: tuple[str, ...]
    """Tags issued on both ways after it: two pieces may bear the same number."""
    is_decided: bool
    """A person said which one counts."""


def fork_of(connection: Connection, chain: Chain) -> Fork | None:
    """Return the fork that a chain came of, None for the first chain of its ledger."""
    found = connection.execute(
        "SELECT common_seq, twice, is_decided FROM baywright.fork_v WHERE chain = %s",
        (chain.chain,),
    ).fetchone()
    if found is None:
        return None
    common, twice, is_decided = found
    return Fork(common_seq=common, twice=tuple(twice or ()), is_decided=bool(is_decided))


def accept(connection: Connection, chain: int, person: str) -> str:
    """Write down that a chain is the one of its ledger that counts; return whose it is, in words.

    Raises:
        OfficeError: There is no such chain, nobody is named, or the login may not decide.
    """
    require_step(connection)
    if not person.strip():
        raise OfficeError("A decision names who made it: --person NAME.")
    with told_in_a_line():
        found = connection.execute(
            "SELECT yard, terminal, branch FROM baywright.chain WHERE chain = %s", (chain,)
        ).fetchone()
        if found is None:
            raise OfficeError(
                f"The office has no chain {chain}. Those that went two ways: SELECT * FROM baywright.fork_v"
            )
        connection.execute("INSERT INTO baywright.decision (chain, person) VALUES (%s, %s)", (chain, person))
    yard, terminal, branch = found
    return (
        f"{yard} {terminal}: chain {chain} ({f'fork {branch}' if branch else 'the first'}) counts from now on"
    )
