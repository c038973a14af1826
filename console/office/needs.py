"""What in the office's picture needs somebody, in words, the most pressing first."""

from collections.abc import Iterable, Iterator
from datetime import datetime, timedelta

from console.ground.cleaning import clean
from console.ground.dates import local_day_and_time
from console.office.picture import Picture, PutBackLine, TerminalLine, WordLine
from console.yard.errors import YardFileError
from console.yard.file.bay_table import PRICE_KEYS, RULE_KEYS
from console.yard.office_says import folded

SILENT = timedelta(hours=24)
"""A terminal not heard of for longer wants a look (own choice): every day has a close-out."""
CLOCK_OFF = timedelta(minutes=5)
"""A clock further off than this makes reports by date wrong (own choice)."""
PUT_BACK_TOLD = timedelta(days=7)
"""So long it is told that an older copy of the office was put back, though its rows are there again (own
choice): decisions and words that came after the copy are not."""
LONG_HELD_DAYS = 7
"""A piece that waits longer stands in the way (own choice)."""


def needs_of(picture: Picture) -> list[str]:
    """Return a sentence for each thing that somebody should see to."""
    return [
        *(said for one in picture.terminals for said in _of_terminal(one)),
        *(
            f"{clean(one.yard)} {clean(one.bay)}: more was drawn down than ever tallied"
            for one in picture.stock
            if one.lying_g < 0
        ),
        *(said for one in picture.put_back for said in _of_put_back(one, picture.at)),
        *(said for one in picture.words for said in _of_words(one, picture.at)),
        *_of_holds(picture),
    ]


def _of_terminal(one: TerminalLine) -> Iterator[str]:
    name = f"{clean(one.yard)} {clean(one.terminal)}"
    if one.state == "fork" or not one.counts:
        yield f"{name}: went two ways; chain {one.chain} {'counts' if one.counts else 'does not count'}"
    if one.state == "behind":
        yield f"{name}: an older copy of its ledger was put back"
    if one.lag is None or one.lag > SILENT:
        yield f"{name}: not heard of for {ago(one.lag)}"
    if one.clock_off is not None and abs(one.clock_off) > CLOCK_OFF:
        direction = "ahead" if one.clock_off > timedelta() else "behind"
        yield f"{name}: its clock is {ago(abs(one.clock_off))} {direction}"
    if one.rows_waiting:
        yield f"{name}: {one.rows_waiting} rows have not come yet"


def _of_put_back(one: PutBackLine, at: datetime) -> Iterator[str]:
    if one.filled_at is not None and at - one.noticed_at > PUT_BACK_TOLD:
        return
    again = f"sent again {local_day_and_time(one.filled_at)}" if one.filled_at else "not sent again yet"
    yield (
        f"an older copy of this office was put back: {clean(one.yard)} {clean(one.terminal)} had sent up to "
        f"row {one.sent_up_to}, it held up to {one.held_up_to}; {again}"
    )


def _of_words(one: WordLine, at: datetime) -> Iterator[str]:
    name = f"{clean(one.yard)} {clean(one.terminal)}"
    if one.taken_up_to > one.said_up_to:
        yield (
            f"{name}: took word {one.taken_up_to} of the office, which has {one.said_up_to} only: an older "
            "copy of the office was put back; say nothing to this yard before the newest is there"
        )
    if one.waits_since is not None:
        first, last = one.taken_up_to + 1, one.said_up_to
        which = f"word {last}" if first == last else f"words {first} to {last}"
        yield (
            f"{name}: has not taken {which} of the office ({said_about(one.untaken)}), said "
            f"{ago(at - one.waits_since)} ago"
        )


def said_about(texts: Iterable[str]) -> str:
    """Return what words of the office are about, in words.

    >>> said_about(['currency = "EUR"\\n[[bay]]\\ncode = "CU"\\nprice_per_kg = 7\\n', 'people = ["Ada"]'])
    'prices, people'
    """
    try:
        said = folded(texts)
    except YardFileError:
        return "what this program does not know"
    keys = {key for bay in said.bays.values() for key in bay}
    parts = {
        "prices": not keys.isdisjoint(PRICE_KEYS),
        "bays": not keys.isdisjoint(RULE_KEYS),
        "people": said.people is not None,
        "buyers": said.buyers is not None,
    }
    return ", ".join(part for part, is_there in parts.items() if is_there) or "nothing"


def _of_holds(picture: Picture) -> Iterator[str]:
    long = [one for one in picture.holds if one.age_days > LONG_HELD_DAYS]
    for yard in dict.fromkeys(one.yard for one in long):
        of_yard = [one for one in long if one.yard == yard]
        yield (
            f"{clean(yard)}: {len(of_yard)} on hold for more than {LONG_HELD_DAYS} days, the oldest "
            f"{clean(of_yard[0].tag)}"
        )


def ago(stretch: timedelta | None) -> str:
    """Return a stretch of time in its largest unit.

    >>> ago(timedelta(seconds=40)), ago(timedelta(hours=30)), ago(None)
    ('40 s', '30 h', 'ever')
    """
    if stretch is None:
        return "ever"
    seconds = int(stretch.total_seconds())
    for unit, of_unit in (("d", 86_400), ("h", 3_600), ("min", 60)):
        if seconds >= 2 * of_unit:
            return f"{seconds // of_unit} {unit}"
    return f"{seconds} s"
