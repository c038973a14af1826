"""One line of text is one piece: takes an entry line apart."""

from console.entry.draft import Draft, Mark
from console.entry.gathering import gather
from console.entry.parsed import ParsedLine, Token, TokenKind
from console.entry.splitting import LONGEST_LINE, Word, split_line
from console.entry.understanding import understand
from console.entry.yard_words import YardWords
from console.ground.cleaning import clean
from grade_library.naming.names import NameIndex
from grade_library.technique import FALLBACK, profiles


def parse_line(line: str, *, names: NameIndex | None, yard: YardWords | None) -> ParsedLine:
    """Return what an entry line says; never fails, and loses nothing that was typed.

    Args:
        line: As typed; control characters are replaced first, so that places count in `ParsedLine.line`.
        names: Names of the grades; None understands no names.
        yard: Gives the unit of a bare number, bay codes and largest weight; None takes kg and no bays.

    >>> parsed = parse_line("12,4 m0 cr18.2 ; from the fence", names=None, yard=None)
    >>> parsed.mass_g, [token.meaning for token in parsed.tokens]
    (12400, ['12.40 kg', 'magnet: none', 'Cr 18.2 %', 'note: from the fence'])
    """
    cleaned = clean(line)
    split = split_line(cleaned)
    draft = understand(split.words, names, yard)
    marks = sorted(draft.marks, key=lambda mark: mark.first)
    if yard is None:
        sum_of = gather(marks, FALLBACK, profiles())
    else:
        sum_of = gather(marks, yard.technique, yard.techniques)
    problems = dict(sum_of.problems)
    if sum_of.is_hold and sum_of.bay_code is not None:
        problems |= _hold_and_bay(marks, sum_of.bay_code, yard)
    tokens = [_token(draft, mark, problems.get(index, "")) for index, mark in enumerate(marks)]
    if split.note is not None:
        tokens.append(_note_token(split.note))
    if split.overflow is not None:
        tokens.append(_overflow_token(split.overflow))
    return ParsedLine(
        line=cleaned,
        tokens=tuple(tokens),
        mass_g=sum_of.mass_g,
        count=sum_of.count,
        facts=sum_of.facts,
        bay_code=sum_of.bay_code,
        is_hold=sum_of.is_hold,
        note="" if split.note is None else split.note.text[1:].strip(),
        problems=tuple(token.problem for token in tokens if token.problem),
    )


def _hold_and_bay(marks: list[Mark], bay_code: str, yard: YardWords | None) -> dict[int, str]:
    """Return the problem of a line that asks for hold and for another bay."""
    if yard is None or yard.bay(bay_code).is_hold:
        return {}
    last = max(i for i, mark in enumerate(marks) if mark.kind in (TokenKind.HOLD, TokenKind.BAY))
    return {last: f"hold and bay {bay_code} on one line: keep one"}


def _token(draft: Draft, mark: Mark, problem: str) -> Token:
    start, end = draft.words[mark.first].start, draft.words[mark.last].end
    return Token(
        kind=mark.kind,
        start=start,
        end=end,
        text=draft.text(mark.first, mark.last),
        meaning=mark.meaning,
        problem=mark.problem or problem,
    )


def _note_token(note: Word) -> Token:
    text = note.text[1:].strip()
    return Token(
        kind=TokenKind.NOTE,
        start=note.start,
        end=note.end,
        text=note.text,
        meaning=f"note: {text}" if text else "note",
    )


def _overflow_token(overflow: Word) -> Token:
    return Token(
        kind=TokenKind.UNKNOWN,
        start=overflow.start,
        end=overflow.end,
        text=overflow.text,
        meaning="too long",
        problem=f"line longer than {LONGEST_LINE} characters: put the rest into a note after ;",
    )
