"""A terminal takes what the office said: rows of its own ledger, told at the start, and how they stand."""

from collections.abc import Sequence
from dataclasses import asdict

from console.ground.cleaning import clean
from console.ledger.keeping.store import Ledger
from console.ledger.rows.rows import RowKind
from console.office.words.trusting import trusted_of
from console.office.words.waiting import none_wait, waiting_words
from console.office.words.word import Word, WordRefused, last_of, words_taken
from console.yard.errors import YardFileError
from console.yard.file.yard_file import YARD_FILE, read_toml, yard_from
from console.yard.office_says import differences, folded, overlaid
from console.yard.yard import Yard
from grade_library.library import GradeLibrary

MOST_TOLD = 6
"""So many changes or differences are said in a sentence; the rest is counted (own choice)."""


def take_words(ledger: Ledger, yard: Yard, library: GradeLibrary, person: str) -> bool:
    """Write the words that wait into the ledger, all or none; return whether any was written.

    What came of it, and on what yard.toml and the office do not agree, is added to `ledger.told_at_start`.

    Args:
        ledger: With its run open.
        yard: As it stands without them.
        library: The grades that a rule of the office may name.
        person: Who works the run.

    Raises:
        StoreError: The disk refused; nothing was written.
    """
    before = words_taken(ledger)
    told: list[str] = []
    try:
        new = _new_words(ledger, yard, before, told)
        told += _said_of_new(yard, library, before, new)
    except (WordRefused, YardFileError) as error:
        new = []
        told.append(f"What the office says was not taken: {error}")
    if new:
        with ledger.act():
            for word in new:
                ledger.append(RowKind.OFFICE, person=person, body=asdict(word))
        none_wait(ledger.path)
    told += _said_of_differences(yard, [*before, *new])
    ledger.told_at_start += (" ".join(told),) if told else ()
    return bool(new)


def _new_words(ledger: Ledger, yard: Yard, before: Sequence[Word], told: list[str]) -> list[Word]:
    """Return the words that wait and may be taken; why another may not is told.

    Raises:
        WordRefused: The file is damaged, or the package that checks signatures is missing.
    """
    after = last_of(before)
    waiting = [one for one in waiting_words(ledger.path) if one.number > after[0]]
    trusted, refusal = trusted_of(waiting, yard=yard.name, after=after, keys=yard.office.keys)
    if refusal:
        told.append(refusal)
    return trusted


def _said_of_new(yard: Yard, library: GradeLibrary, before: Sequence[Word], new: Sequence[Word]) -> list[str]:
    """Return what to say of new words, after a look whether the yard is whole with them.

    Raises:
        YardFileError: It is not; the message says why.
    """
    if not new:
        return []
    table, wins = read_toml(yard.folder / YARD_FILE), yard.office.wins
    now = folded(word.said for word in (*before, *new))
    yard_from(overlaid(table, now, wins), yard.folder, library)
    was = overlaid(table, folded(word.said for word in before), wins)
    changed = [
        f"{one.thing} {one.in_yard}, now {one.in_office}" for one in differences(was, now) if one.part in wins
    ]
    who = ", ".join(dict.fromkeys(clean(word.person, 40) for word in new))
    return [
        f"The office ({who}) changed: {_some(changed)}."
        if changed
        else f"The office ({who}) changed nothing."
    ]


def _said_of_differences(yard: Yard, words: Sequence[Word]) -> list[str]:
    """Return what to say of the things on which yard.toml and the office do not agree."""
    if not words:
        return []
    said, wins = folded(word.said for word in words), yard.office.wins
    found = list(differences(read_toml(yard.folder / YARD_FILE), said))
    ours = [f"{one.thing} {one.in_yard} (office: {one.in_office})" for one in found if one.part not in wins]
    theirs = [f"{one.thing} {one.in_office} (yard.toml: {one.in_yard})" for one in found if one.part in wins]
    told = [f"Against the office's word yard.toml stands ([office] wins): {_some(ours)}."] if ours else []
    return told + ([f"Against yard.toml the office's word stands: {_some(theirs)}."] if theirs else [])


def _some(things: list[str]) -> str:
    more = len(things) - MOST_TOLD
    return "; ".join(things[:MOST_TOLD]) + (f"; and {more} more" if more > 0 else "")
