"""What a gather or a comparison came to, in words."""

from collections.abc import Iterator

from console.ground.cleaning import clean
from console.office.chains import State
from console.office.comparing import Compared
from console.office.gathering import Gathered
from console.office.words.wire import Pulled

TWICE_TOLD = 12
"""So many tags that were issued twice are named; the rest is counted."""


def told_of_gathered(done: Gathered) -> list[str]:
    """Return the lines that say what a gather did, the most important first."""
    return list(_gathered(done))


def _gathered(done: Gathered) -> Iterator[str]:
    standing, chain = done.standing, done.standing.chain
    if done.is_busy:
        yield "another gather is at work on this ledger; this one did nothing"
        return
    if chain is None:
        yield "no rows yet, so there is nothing to gather"
        return
    if done.lost:
        yield _office_put_back(done.lost)
    if standing.state is State.BEHIND:
        yield (
            f"BEHIND: this store ends in row {done.newest}, and the office has it up to row {chain.seq}. An "
            "older copy was put back, or this folder is one. Nothing was written. Put the newest store back; "
            "where it is lost, work may go on: the office will keep that as a fork, and ask."
        )
    elif chain.branch:
        yield (
            f"FORK: the office had other rows after row {done.common_seq}. Both are kept; this one is chain "
            f"{chain.chain}. Which one counts, a person decides: baywright gather --accept {chain.chain} "
            "--person NAME"
        )
    if standing.state is not State.BEHIND:
        yield f"{done.rows} rows gathered; the office has all {done.newest}"
    if done.twice:
        more = len(done.twice) - TWICE_TOLD
        and_more = f" and {more} more" if more > 0 else ""
        yield f"tags issued twice: {', '.join(clean(tag) for tag in done.twice[:TWICE_TOLD])}{and_more}"
    if done.namesakes:
        yield (
            f"another ledger at this office bears the same yard and terminal (chain "
            f"{done.namesakes[0].chain}): runs and tags of both look alike. Give one of them another "
            "terminal name in yard.toml."
        )


def _office_put_back(lost: int) -> str:
    return (
        f"THE OFFICE WENT BACK: it took rows up to {lost} before and had them no longer, so an older copy of "
        "it was put back. A gather brings what this store has again; decisions, words and the rows of other "
        "terminals are for whoever keeps the office to look after."
    )


def told_of_pulled(heard: Pulled) -> list[str]:
    """Return the lines that say what was pulled of what the office says."""
    lines = [f"NOT TAKEN: {heard.refused}"] if heard.refused else []
    if heard.waiting:
        lines.append(f"words of the office that hold from the next start of the console: {heard.waiting}")
    return lines


def told_of_compared(found: Compared) -> list[str]:
    """Return the lines that say what a comparison found."""
    if found.is_even:
        return [f"even: all {found.newest} rows are at the office, as they were written"]
    lines = [_office_put_back(found.lost)] if found.lost else []
    if found.standing.state is State.BEHIND:
        lines.append(f"BEHIND: this store ends in row {found.newest}, which the office goes beyond")
    if found.standing.state is State.FORK:
        lines.append(f"FORK: store and office went apart after row {found.standing.common_seq}")
    if found.missing:
        lines.append(f"{found.missing} of {found.newest} rows are not at the office yet")
    if found.changed:
        lines.append(f"NOT AS WRITTEN at the office: rows {', '.join(map(str, found.changed))}")
    return lines
