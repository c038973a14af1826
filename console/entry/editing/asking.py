"""Words that are asked back: once, in place; the answer by number, or Enter again and they are a note."""

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from console.entry.token_kind import ASKED_BACK, TokenKind
from console.ground.cleaning import as_sentence

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
        stop = "" if said[-1] in ".?!" else "."
        said = f"{said}{stop} {named}." if is_asked else f"{said}: {named}?"
    if said[-1] not in ".?!":
        said += "."
    return f"{f'Type {numbers}, or ' if numbers else ''}Enter again keeps it as a note. {as_sentence(said)}"


def answered(asked: "ParsedLine", line: str) -> str | None:
    """Return the line with the question answered, None where what was typed since is no answer.

    An answer is the number of an offer typed behind the line that was asked about, or that line once more:
    then every word that is not understood is kept as a note. What a thing was called is kept so too where
    the answer is its metal.

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
        offer = token.offers[int(typed) - 1]
        line = asked.line[: token.start] + offer + asked.line[token.end :].rstrip()
        return _with_note(line, token.text) if _is_lost(token, offer) else line
    return None


def _is_lost(token: "Token", offer: str) -> bool:
    """Return True where an answer does not say the word any more: "window frame" answered by "aluminium"."""
    is_words = token.text.replace(" ", "").isalpha()
    return token.meaning == ASKED_BACK and is_words and token.text.casefold().rstrip("s") not in offer


def kept_as_note(parsed: "ParsedLine") -> str:
    """Return the line with every word that is not understood moved behind the note sign; nothing is lost."""
    unknown = [token for token in parsed.tokens if token.kind is TokenKind.UNKNOWN]
    body, sign, note = parsed.line.partition(NOTE_SIGN)
    kept = " ".join("".join(_without(body, unknown)).split())
    return _with_note(f"{kept} {sign}{note}", " ".join(token.text for token in unknown))


def _with_note(line: str, more: str) -> str:
    """Return the line with a further note behind what is noted already."""
    body, _, note = line.partition(NOTE_SIGN)
    return f"{body.rstrip()} {NOTE_SIGN} {', '.join(filter(None, (note.strip(), more)))}"


def _without(body: str, tokens: "Iterable[Token]") -> Iterator[str]:
    start = 0
    for token in tokens:
        yield body[start : token.start]
        start = min(token.end, len(body))
    yield body[start:]
