"""Questions that go on over several lines: which bay, what a hold is, how a run is closed."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from console.commands.shift.by_line import words
from console.desk import Desk
from console.desk.piece.bay_choice import best_first
from console.desk.readings.for_hold import ReadingsForHold
from console.desk.refusals import DeskRefusal, known_bay, known_person
from console.desk.sentences import becomes
from console.ground.cleaning import told
from console.ground.figures import many, percent

if TYPE_CHECKING:
    from console.desk import Consideration
    from console.entry.parsed import ParsedLine
    from console.ledger.rows.rows import PieceState

MOST_BAYS = 5
"""Bays that are said; every other code may be typed too."""
WHICH_BAY = "Which bay: {bays}? A number, or any code."
FOUND = (
    '{tag}, typed as "{line}"{waits}. What was found: a reading, a scratch colour, a name? A reading counts '
    "instead of the one before, / begins a further shot.{read}"
)
SETTLED = "{becomes}, into {code}. What settled it? A few words; Enter alone says: {usual}."
AS_FOUND = "as found"
READ, FOUND_READ = "read", " read takes one that waits."
HOLDS = (
    "{count} on hold: {tags}. Enter carries all over to the next run; a tag and words say why that one may "
    "stay as it is."
)
WHICH_HOLD = "A tag of these and words, or Enter alone: {tags}."
RECHECKS = "{count} for a second look, and would count as not looked at. "
SIGNS = "Who signs: {people}? Enter alone: {person}."


def _every_line(_: str) -> bool:
    return True


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """What is asked, and what the next line does."""

    say: str
    then: "Callable[[str], Answer]"
    takes: Callable[[str], bool] = _every_line
    """Whether a line is an answer; one that is none is a line of its own."""


Answer = str | Question


def which_word(parsed: "ParsedLine", say: str, then: Callable[[str], Answer], *, is_new: bool) -> Question:
    """Ask what a word of a line means: a number says it, Enter alone keeps it as a note.

    Args:
        parsed: The line, with the word that is asked.
        say: The question.
        then: Takes the line with its answer, or another line.
        is_new: The line is a piece of its own: another line needs no `leave` before it.
    """
    offers = len(parsed.asked.offers) if parsed.asked is not None else 0

    def is_answer(text: str) -> bool:
        return not text or (text.isdecimal() and 1 <= int(text) <= offers)

    def answered(text: str) -> Answer:
        return then(f"{parsed.line} {text}".rstrip() if is_answer(text) else text)

    return Question(say=say, then=answered, takes=is_answer if is_new else _every_line)


def which_bay(desk: Desk, considered: "Consideration", then: Callable[[str], Answer]) -> Question:
    """Ask for a bay, the best first; its code goes on."""
    placement = considered.placement
    hold = desk.yard.hold_bay
    best = best_first(desk.yard, placement)[:MOST_BAYS]
    numbered = {str(number): bay.code for number, (bay, _) in enumerate(best, 1)} | {"0": hold.code}
    said = []
    for number, (bay, worth) in enumerate(best, 1):
        share = "" if worth is None else f" accepts {percent(worth.accepted)}"
        why = f", not taken: {worth.veto}" if worth is not None and worth.veto else ""
        said.append(f"{number} {bay.code} {bay.name}{share}{why}")
    said.append(f"0 {hold.code} {hold.name}")

    def chosen(text: str) -> Answer:
        return then(known_bay(numbered.get(text, text), desk.yard).code)

    return Question(say=WHICH_BAY.format(bays="; ".join(said)), then=chosen)


def resolve(desk: Desk, piece: "PieceState") -> Question:
    """Ask what was found of a piece on hold, where it goes if that is not settled, and why."""
    is_said = piece.waits_for in piece.line
    waits = f", waits for: {piece.waits_for}" if piece.waits_for and not is_said else ""
    readings = ReadingsForHold(desk, piece)

    def found(typed: str) -> Answer:
        findings = _with_reading(typed, readings)
        considered = desk.review.reconsider(piece.row_id, findings)

        def settle(code: str) -> Question:
            def because(why: str) -> str:
                used, reason = readings.used_by(findings), why or AS_FOUND
                return desk.review.resolve(
                    piece.row_id, findings, reason, bay_code=code, readings=used
                ).sentence

            what = becomes(considered.verdict)
            return Question(say=SETTLED.format(becomes=what, code=code, usual=AS_FOUND), then=because)

        code, placement = considered.parsed.bay_code, considered.placement
        if code is None and placement is not None and not placement.bay.is_hold:
            code = placement.bay.code
        if code is not None:
            return settle(code)
        asked = which_bay(desk, considered, settle)
        return Question(say=f"Still undecided, {becomes(considered.verdict)}. {asked.say}", then=asked.then)

    read = FOUND_READ if readings.count else ""
    say = FOUND.format(tag=piece.tag or "", line=told(piece.line), waits=waits, read=read)
    return Question(say=say, then=found)


def _with_reading(findings: str, readings: ReadingsForHold) -> str:
    """Return findings with the next reading that waits, where they begin by asking for it.

    Raises:
        DeskRefusal: None waits, or there is no room for it.
    """
    word, _, rest = findings.partition(" ")
    if word.casefold() != READ:
        return findings
    if not readings.count:
        raise DeskRefusal(words.NO_READING)
    return readings.next_onto(rest)


def close(desk: Desk) -> Answer:
    """Ask what closing the run needs, and close it."""
    return _holds(desk, {})


def _holds(desk: Desk, signed_for: Mapping[str, str]) -> Answer:
    due = desk.rechecks.due()
    first = RECHECKS.format(count=many(len(due), "piece waits", "pieces wait")) if due else ""
    tags = [piece.tag or "" for piece in desk.sums().holds]
    left = [tag for tag in tags if tag not in signed_for]
    if not left:
        return _explain(desk, signed_for, first)

    def said(text: str) -> Answer:
        tag, _, words = text.partition(" ")
        if not tag:
            return _explain(desk, signed_for, "")
        known = next((one for one in left if one.casefold() == tag.casefold()), None)
        if known is None or not words.strip():
            raise DeskRefusal(WHICH_HOLD.format(tags=", ".join(left)))
        return _holds(desk, {**signed_for, known: words.strip()})

    count = many(len(left), "piece", "pieces")
    return Question(say=first + HOLDS.format(count=count, tags=", ".join(left)), then=said)


def _explain(desk: Desk, signed_for: Mapping[str, str], first: str) -> Answer:
    """Ask for words about a difference or a missing ticket, where they are wanted."""
    wanted = desk.closing.words_wanted()
    if not wanted:
        return _sign(desk, signed_for, "", first)

    def said(text: str) -> Answer:
        if not text:
            raise DeskRefusal(wanted)
        return _sign(desk, signed_for, text, "")

    return Question(say=first + wanted, then=said)


def _sign(desk: Desk, signed_for: Mapping[str, str], explanation: str, first: str) -> Question:
    def signed(text: str) -> str:
        person = known_person(text, desk.yard) if text else desk.person
        return desk.closing.close_run(explanation, signed_by=person, signed_for=signed_for).sentence

    people = ", ".join(desk.yard.people)
    return Question(say=first + SIGNS.format(people=people, person=desk.person), then=signed)
