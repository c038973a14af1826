"""Puts the words of a reading on an entry line that somebody has begun, and takes them off again."""

import re

from console.entry.splitting import LONGEST_LINE

_NOTE = ";"


def with_reading(line: str, text: str, *, has_reading: bool) -> str | None:
    """Return the line with a reading after what stands there, before its note; None where it has no room.

    Args:
        line: As typed so far.
        text: The reading, as entry-line words.
        has_reading: The line holds a reading already: this one becomes a further shot, unless it begins with
            a mark itself or the line ends with one.

    >>> with_reading("12.4 ; gate 3", "cr=18.2 ni=8.1", has_reading=False)
    '12.4 cr=18.2 ni=8.1 ; gate 3'
    >>> with_reading("12.4 ni=82", "cu=61", has_reading=True)
    '12.4 ni=82 / cu=61 '
    >>> with_reading("12.4 ni=82 //", "cu=61", has_reading=True)
    '12.4 ni=82 // cu=61 '
    """
    body, note = _parted(line)
    is_marked = text.startswith("/") or body.endswith("/")
    mark = "/ " if has_reading and not is_marked else ""
    full = f"{body} {mark}{text} {note}".lstrip()
    return full if len(full) <= LONGEST_LINE else None


def without_reading(line: str, text: str) -> str | None:
    """Return the line without a reading and the mark before it; None where it does not stand there as it was.

    >>> without_reading("12.4 cr=18.2 ni=8.1 ; gate 3", "cr=18.2 ni=8.1")
    '12.4 ; gate 3'
    >>> without_reading("12.4 cr=18.3 ni=8.1", "cr=18.2 ni=8.1") is None
    True
    """
    body, note = _parted(line)
    found = re.search(rf"(?:^|\s)(?:/{{1,2}}\s+)?{re.escape(text)}(?=\s|$)", body)
    if found is None:
        return None
    return " ".join(
        part for part in (body[: found.start()].rstrip(), body[found.end() :].strip(), note) if part
    )


def stands_on(line: str, text: str) -> bool:
    """Return whether a reading stands on the line word by word, before its note.

    >>> stands_on("12.4 cr=18.2 m0", "cr=18.2"), stands_on("12.4 cr=18.25", "cr=18.2")
    (True, False)
    """
    body, _ = _parted(line)
    return bool(text) and f" {text} " in f" {body} "


def with_words(line: str, words: tuple[str, ...]) -> str:
    """Return the line with words after what stands there, before its note.

    >>> with_words("12.4 304 ; gate 3", ("+b", "STN"))
    '12.4 304 +b STN ; gate 3'
    """
    body, note = _parted(line)
    return " ".join(filter(None, (body, *words, note)))


def words_of(line: str) -> list[str]:
    """Return the words of a line before its note, case-folded."""
    return _parted(line)[0].casefold().split()


def _parted(line: str) -> tuple[str, str]:
    """Return what stands before the note, and the note with its sign."""
    cut = line.find(_NOTE)
    return (line.rstrip(), "") if cut < 0 else (line[:cut].rstrip(), line[cut:])
