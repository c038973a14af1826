"""Sentences for a person at a terminal: no word is cut where a row ends."""

import os
from textwrap import fill
from typing import TextIO

LEAST_COLUMNS = 40
"""A narrower terminal, or one that does not know its width, breaks the rows itself."""


def in_rows(text: str, stream: TextIO) -> str:
    """Return sentences as they are to be written to a stream.

    Args:
        text: Each line of it is broken by itself; a word or path that is longer than a row stays whole.
        stream: On a terminal rows end behind a word; for a file or pipe the text is as it was.
    """
    if not stream.isatty():
        return text
    try:
        columns = os.get_terminal_size(stream.fileno()).columns
    except OSError:
        return text
    if columns < LEAST_COLUMNS:
        return text
    return "\n".join(
        fill(line, columns - 1, break_long_words=False, break_on_hyphens=False) for line in text.split("\n")
    )
