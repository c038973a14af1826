"""Reads yard.toml: bays, people, scales and thresholds, checked once, with errors a yard lead can act on."""

import shlex
from collections.abc import Collection, Mapping
from pathlib import Path
from typing import Any

from console.entry.vocabulary import reserved
from console.ground.cleaning import clean
from console.ground.dates import zone_named
from console.ground.mass import UNITS_G
from console.yard.coupons.check_samples import check_samples_from
from console.yard.errors import YardFileError
from console.yard.file.bay_refusals import refuse_lost_refused
from console.yard.file.bay_table import read_bay
from console.yard.file.buyers_table import buyers_from
from console.yard.file.check_table import checks_from, recheck_settings_from, sorter_time_from
from console.yard.file.console_settings import console_settings_from
from console.yard.file.fields import Fields
from console.yard.file.names import (
    QUOTED,
    is_device_name,
    why_not_a_person,
    why_not_a_terminal,
    why_not_a_yard_code,
)
from console.yard.file.office_table import office_settings_from
from console.yard.file.readings_table import readings_mapping_from
from console.yard.file.scale_table import read_scale
from console.yard.file.selectors import Selectors
from console.yard.file.techniques_table import UNIT_WORDS, techniques_from
from console.yard.file.words_table import words_from
from console.yard.yard import Bay, Thresholds, Yard
from grade_library import user_files
from grade_library.elements import ELEMENTS
from grade_library.library import GradeLibrary

YARD_FILE = "yard.toml"
"""Name of the file in the yard's folder."""

_KEYS = (
    "name",
    "weight_unit",
    "currency",
    "yard_code",
    "terminal",
    "technique",
    "techniques",
    "learn_from_runs",
    "learn_from_settlements",
    "time_zone",
    "emergency_number",
    "people",
    "piece_scale",
    "ticket_scale",
    "thresholds",
    "bay",
    "buyer",
    "papers_head",
    "show_money",
    "check",
    "sorter",
    "check_sample",
    "readings_files",
    "console",
    "office",
    "recheck",
    "shared",
    "words",
)


def yard_from(table: Mapping[str, Any], folder: Path, library: GradeLibrary) -> Yard:
    """Return the yard that a table describes, as read from a yard.toml in that folder.

    Raises:
        YardFileError: Something in it is wrong.
    """
    fields = Fields(YARD_FILE, table)
    fields.refuse_unknown(_KEYS)
    selectors = Selectors.of(library)
    techniques = techniques_from(fields, selectors)
    bays = _read_bays(fields, selectors, techniques)
    return Yard(
        folder=folder,
        name=fields.text("name"),
        weight_unit=fields.word("weight_unit", "kg", (name for name in UNITS_G if name != "g")),
        currency=fields.text("currency", ""),
        bays=bays,
        words=words_from(fields, selectors, {*techniques, *(bay.code.casefold() for bay in bays)}),
        papers_head=fields.texts("papers_head"),
        buyers=buyers_from(fields, selectors),
        people=_people(fields),
        piece_scale=read_scale(fields, "piece_scale", is_of_pieces=True),
        ticket_scale=read_scale(fields, "ticket_scale", is_of_pieces=False),
        thresholds=_thresholds(fields),
        technique=fields.word("technique", "xrf", techniques),
        techniques=techniques,
        learn_from_runs=fields.flag("learn_from_runs", True),
        learn_from_settlements=fields.flag("learn_from_settlements", True),
        terminal=_terminal(fields),
        shared=fields.flag("shared", False),
        time_zone=_time_zone(fields),
        emergency_number=fields.text("emergency_number", ""),
        show_money=fields.flag("show_money", True),
        check_samples=check_samples_from(fields, techniques),
        checks=checks_from(fields),
        sorter=sorter_time_from(fields),
        console=console_settings_from(fields),
        office=office_settings_from(fields),
        recheck=recheck_settings_from(fields),
        readings_files=readings_mapping_from(fields, techniques),
    )


def read_toml(file: Path) -> dict[str, Any]:
    """Return what a TOML file says, unchecked.

    Raises:
        YardFileError: It is missing, not readable, or no TOML; the message says where.
    """
    try:
        return user_files.read_toml(file)
    except FileNotFoundError:
        where = shlex.quote(str(file.parent))
        raise YardFileError(
            f"No {file.name} in {file.parent}. Make one with `baywright new {where}`, "
            "or name another folder with --yard FOLDER."
        ) from None
    except user_files.UserFileError as error:
        raise YardFileError(str(error)) from error
    except OSError as error:
        raise YardFileError(f"{file} cannot be read: {error.strerror}.") from error


def _read_bays(fields: Fields, selectors: Selectors, techniques: Collection[str]) -> tuple[Bay, ...]:
    tables = fields.tables("bay", named_by="code")
    if not tables:
        raise fields.wrong("bay", "there is none; every bay starts with a line [[bay]]")
    bays: list[Bay] = []
    for table in tables:
        bay = read_bay(table, selectors)
        if reason := _why_not_a_code(bay.code, selectors):
            raise YardFileError(f"{fields.place}, bay {bay.code}, code: {reason}")
        if any(other.code.casefold() == bay.code.casefold() for other in bays):
            raise YardFileError(f"{fields.place}, bay {bay.code}, code: two bays have it; each needs its own")
        if (code := bay.code.casefold()) in techniques:
            # On an entry line one word means one thing.
            raise YardFileError(f"{fields.place}, techniques.{code}: a bay has this code; take another name")
        bays.append(bay)
    holds = [bay.code for bay in bays if bay.is_hold]
    if len(holds) != 1:
        said = f"{', '.join(holds)} say so" if holds else "none says so"
        raise fields.wrong(
            "bay", f"exactly one bay needs is_hold = true, where undecided pieces wait; {said}"
        )
    refuse_lost_refused(fields.place, tuple(bays))
    return tuple(bays)


def _why_not_a_code(code: str, selectors: Selectors) -> str:
    """Return why a bay cannot be typed by this code; empty where it can."""
    if not (2 <= len(code) <= 3 and code.isascii() and code.isalpha()):
        return "needs two or three letters"
    if is_device_name(code):
        return (
            f"{code} is the name of a device on some computers, and stands in names of files; change a letter"
        )
    if code.capitalize() in ELEMENTS:
        element = ELEMENTS[code.capitalize()].name
        return f"{code} is the symbol of {element} on an entry line; add or change a letter"
    word = reserved(code)
    if word is not None:
        return f'"{code}" already means "{word.meaning}" on an entry line; change a letter'
    if code.casefold() in UNIT_WORDS:
        return f'"{code}" is a unit or a count on an entry line; change a letter'
    if kind := selectors.kind_named(code):
        return f'"{code}" names a {kind} of the grade library on an entry line; change a letter'
    return ""


def _time_zone(fields: Fields) -> str:
    name = fields.text("time_zone", "")
    try:
        return name if not name or zone_named(name) else ""
    except ValueError as error:
        said = f'{error}; write it as "Europe/Stockholm", or leave it out for the zone of the computer'
        raise fields.wrong("time_zone", said) from error


def _people(fields: Fields) -> tuple[str, ...]:
    people = fields.texts("people")
    if not people:
        raise fields.wrong("people", 'nobody is named; write people = ["...", "..."]')
    for typed in fields.table["people"]:
        if reason := why_not_a_person(typed):
            raise fields.wrong("people", f'"{clean(typed, QUOTED)}" {reason}')
    if len(set(people)) < len(people):
        raise fields.wrong("people", "a name stands there twice; tell them apart")
    return people


def _terminal(fields: Fields) -> str:
    """Return the terminal's name in rows, runs and tags, behind the code of its yard where it has one."""
    typed = fields.table.get("terminal", "T1")
    if isinstance(typed, str) and (reason := why_not_a_terminal(typed)):
        raise fields.wrong("terminal", f'"{clean(typed, QUOTED)}" {reason}')
    code = fields.text("yard_code", "")
    if reason := why_not_a_yard_code(code):
        raise fields.wrong("yard_code", f'"{clean(code, QUOTED)}" {reason}')
    terminal = fields.text("terminal", "T1")
    return f"{code}-{terminal}" if code else terminal


def _thresholds(fields: Fields) -> Thresholds:
    table, usual = fields.sub("thresholds"), Thresholds()
    table.refuse_unknown(("settled", "leaning", "veto", "at_risk", "small_bay", "room_cost"))
    thresholds = Thresholds(
        settled=table.number("settled", usual.settled, 0.5, 1.0),
        leaning=table.number("leaning", usual.leaning, 0.0, 1.0),
        veto=table.number("veto", usual.veto, 0.0, 1.0),
        at_risk=table.number("at_risk", usual.at_risk, 0.01, 0.5),
        small_bay_g=table.mass_g("small_bay", f"{usual.small_bay_g} g"),
        room_cost=table.number("room_cost", usual.room_cost, 0.0, 1e6),
    )
    if thresholds.leaning > thresholds.settled:
        raise table.wrong("leaning", f"{thresholds.leaning:g} is above settled, {thresholds.settled:g}")
    return thresholds
