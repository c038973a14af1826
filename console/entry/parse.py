"""One line of text is one piece: takes an entry line apart."""

from dataclasses import replace

from console.entry.caution_words import caution_title
from console.entry.compounds import split_compounds, split_run_on
from console.entry.draft import Draft, Mark
from console.entry.gathering import Gathered, gather
from console.entry.load_words import load_words, read_load_words
from console.entry.parsed import ParsedLine, Token
from console.entry.splitting import LONGEST_LINE, Word, split_line
from console.entry.token_kind import KEPT, TokenKind
from console.entry.understanding import understand
from console.entry.yard_words import YardWords, bay_codes
from console.ground.cleaning import clean
from console.ground.mass import is_number
from console.ground.scanned import bare_tag, looks_like_a_tag
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
    return _of_load(cleaned, yard) or _of_tag(cleaned, names, yard) or _of_piece(cleaned, names, yard)


def _of_piece(cleaned: str, names: NameIndex | None, yard: YardWords | None) -> ParsedLine:
    split = split_line(cleaned)
    apart = split_run_on(split.words, names, bay_codes(yard))
    draft = understand(split_compounds(apart, names), names, yard)
    marks = sorted(draft.marks, key=lambda mark: mark.first)
    if yard is None:
        sum_of = gather(marks, FALLBACK, profiles())
    else:
        sum_of = gather(marks, yard.technique, yard.techniques)
    marks = [_kept(mark) if _is_excused(mark, draft, marks, sum_of) else mark for mark in marks]
    problems = {**sum_of.problems, **_hold_and_bay(marks, sum_of, yard)}
    tokens = [_token(draft, mark, problems.get(index, "")) for index, mark in enumerate(marks)]
    if split.note is not None:
        tokens.append(_note_token(split.note))
    if split.overflow is not None:
        tokens.append(_overflow_token(split.overflow))
    return ParsedLine(
        line=cleaned,
        tokens=tuple(tokens),
        mass_g=sum_of.mass_g,
        weighings=sum_of.weighings,
        is_on_platform=sum_of.is_on_platform,
        count=sum_of.count,
        facts=sum_of.facts,
        bay_code=sum_of.bay_code,
        is_hold=sum_of.is_hold,
        note=_noted(
            split.note, [draft.text(mark.first, mark.last) for mark in marks if mark.meaning == KEPT]
        ),
        problems=tuple(token.problem for token in tokens if token.problem),
    )


def _of_load(line: str, yard: YardWords | None) -> ParsedLine | None:
    """Return a line that says whose load the pieces are; None for any other, such as one with a bay first."""
    typed, first = read_load_words(line), line.split(maxsplit=1)[:1]
    if typed is None or (yard is not None and first[0].casefold() in {b.code.casefold() for b in yard.bays}):
        return None
    whose = load_words(typed.supplier or "", typed.load or "")
    ends = "pieces from here on: no load named" if typed.supplier is None else NO_SUPPLIER
    token = _whole(line, TokenKind.LOAD, f"pieces from here on: {whose}" if whose else ends)
    return ParsedLine(line=line, tokens=(token,), whose_load=typed)


def _whole(line: str, kind: TokenKind, meaning: str) -> Token:
    start, end = len(line) - len(line.lstrip()), len(line.rstrip())
    return Token(kind=kind, start=start, end=end, text=line.strip(), meaning=meaning)


def _of_tag(line: str, names: NameIndex | None, yard: YardWords | None) -> ParsedLine | None:
    """Return a line that is a tag; None for any other, such as one that names a bay or a metal."""
    if yard is None or not looks_like_a_tag(line, yard.terminal):
        return None
    tag, typed = bare_tag(line), line.strip().casefold()
    is_bay = any(bare_tag(bay.code) == tag for bay in yard.bays)
    if is_bay or (names is not None and names.has(typed)):
        return None
    return ParsedLine(line=line, tokens=(_whole(line, TokenKind.TAG, TAG_MEANS),), tag=line.strip())


TAG_MEANS = "a tag: Enter opens what has it"
NO_SUPPLIER = "pieces from here on: no supplier"


def _is_excused(mark: Mark, draft: Draft, marks: list[Mark], sum_of: Gathered) -> bool:
    """Return True for an unknown word that keeps nothing up: hold, a bay, or a word of a hazard decides.

    Beside a bay a number is a weight or a count that nobody said, and not a note.
    """
    if mark.kind is not TokenKind.UNKNOWN:
        return False
    if sum_of.is_hold or _has_hazard(draft, marks):
        return True
    return sum_of.bay_code is not None and not is_number(draft.key(mark.first, mark.last))


def _has_hazard(draft: Draft, marks: list[Mark]) -> bool:
    return any(
        mark.kind is TokenKind.CAUTION or caution_title(draft.key(mark.first, mark.last)) is not None
        for mark in marks
        if mark.kind in (TokenKind.CAUTION, TokenKind.UNKNOWN)
    )


def _kept(mark: Mark) -> Mark:
    return replace(mark, kind=TokenKind.REMARK, meaning=KEPT, problem="", offers=())


def _noted(note: Word | None, kept: list[str]) -> str:
    """Return the note with the unknown words that are kept."""
    return ", ".join(filter(None, ("" if note is None else note.text[1:].strip(), " ".join(kept))))


def _hold_and_bay(marks: list[Mark], sum_of: Gathered, yard: YardWords | None) -> dict[int, str]:
    """Return the problem of a line that asks for hold and for another bay."""
    if not sum_of.is_hold or sum_of.bay_code is None or yard is None or yard.bay(sum_of.bay_code).is_hold:
        return {}
    last = max(i for i, mark in enumerate(marks) if mark.kind in (TokenKind.HOLD, TokenKind.BAY))
    return {last: f"keep one of hold and bay {sum_of.bay_code}: both stand on the line"}


def _token(draft: Draft, mark: Mark, problem: str) -> Token:
    start, end = draft.words[mark.first].start, draft.words[mark.last].end
    return Token(
        kind=mark.kind,
        start=start,
        end=end,
        text=draft.text(mark.first, mark.last),
        meaning=mark.meaning,
        problem=mark.problem or problem,
        offers=mark.offers,
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
        problem=f"put the rest into a note after ; : the line is longer than {LONGEST_LINE} characters",
    )
