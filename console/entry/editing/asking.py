"""Words that are asked back: once, in place; the answer by number, or Enter again and they are a note."""

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from console.entry.token_kind import ASKED_BACK, TokenKind

if TYPE_CHECKING:
    from console.entry.parsed import ParsedLine, Token

NOTE_SIGN = ";"


def question(parsed: "ParsedLine") -> str:
    """Return what to ask about the first word that is not understood; empty where there is none.

    >>> from console.entry.parse import parse_line
    >>> question(parse_line("5 sheeet", names=None, yard=None))
    "Type 1, or Enter again keeps it as a note. 'sheeet' not understood: 1 sheet?"
    """
    asked = parsed.asked
    if asked is None:
        return ""
    numbers = " or ".join(str(number) for number in range(1, len(asked.offers) + 1))
    named = ", ".join(f"{number} {offer}" for number, offer in enumerate(asked.offers, 1))
    is_asked = asked.meaning == ASKED_BACK
    said = asked.problem if is_asked or not named else f"'{asked.text}' not understood"
    if named:
        said = f"{said} {named}." if is_asked else f"{said}: {named}?"
    if said[-1] not in ".?!":
        said += "."
    return f"{f'Type {numbers}, or ' if numbers else ''}Enter again keeps it as a note. {said}"


def answered(asked: "ParsedLine", line: str) -> str | None:
    """Return the line with the question answered, None where what was typed since is no answer.

    An answer is the number of an offer typed behind the line that was asked about, or that line once more:
    then
    every word that is not understood is kept as a note.

    Args:
        asked: The line about which was asked.
        line: The line as it stands now.

    >>> from console.entry.parse import parse_line
    >>> asked = parse_line("5 sheeet brass", names=None, yard=None)
    >>> answered(asked, "5 sheeet brass 1"), answered(asked, "5 sheeet brass")
    ('5 sheet brass', '5 ; sheeet brass')
    """
    token = asked.asked
    if token is None or not line.startswith(asked.line.rstrip()):
        return None
    typed = line[len(asked.line.rstrip()) :].strip()
    if not typed:
        return kept_as_note(asked)
    if typed.isdecimal() and 1 <= int(typed) <= len(token.offers):
        return asked.line[: token.start] + token.offers[int(typed) - 1] + asked.line[token.end :].rstrip()
    return None


def kept_as_note(parsed: "ParsedLine") -> str:
    """Return the line with every word that is not understood moved behind the note sign; nothing is lost."""
    unknown = [token for token in parsed.tokens if token.kind is TokenKind.UNKNOWN]
    body, _, note = parsed.line.partition(NOTE_SIGN)
    kept = "".join(_without(body, unknown)).split()
    moved = " ".join(token.text for token in unknown)
    return " ".join([*kept, NOTE_SIGN, ", ".join(filter(None, (note.strip(), moved)))])


def _without(body: str, tokens: "Iterable[Token]") -> Iterator[str]:
    start = 0
    for token in tokens:
        yield body[start : token.start]
        start = min(token.end, len(body))
    yield body[start:]
