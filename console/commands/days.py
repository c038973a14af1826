"""Dates on the command line, and the stretch of time they mean."""

import argparse
from datetime import date, datetime, time, timedelta

from console.commands.yard_folder import say
from console.ledger.rows.clock_steps import impossible_dates
from console.ledger.rows.connection import Readable


def add_day_arguments(parser: argparse.ArgumentParser) -> None:
    """Give a command its --from and --to."""
    parser.add_argument(
        "--from", dest="first", type=_day, metavar="DATE", help="first day, such as 2026-03-01"
    )
    parser.add_argument("--to", dest="last", type=_day, metavar="DATE", help="last day, itself included")


def stretch_of(arguments: argparse.Namespace) -> tuple[datetime | None, datetime | None]:
    """Return begin and end (not included) of the days asked for, in this computer's zone; None for open."""
    begin = _midnight(arguments.first) if arguments.first else None
    end = _midnight(arguments.last + timedelta(days=1)) if arguments.last else None
    return begin, end


def say_of_impossible_dates(arguments: argparse.Namespace, source: Readable, now: datetime) -> None:
    """Tell of pieces that no report by dates can hold, where one was asked for."""
    if arguments.first or arguments.last:
        for year, count in impossible_dates(source, now):
            say(f"{count} pieces bear a date in {year}, which cannot be: no report by dates holds them")


def _midnight(day: date) -> datetime:
    return datetime.combine(day, time()).astimezone()


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError as error:
        raise argparse.ArgumentTypeError(
            f'"{text}" is no date; needs year-month-day, such as 2026-03-01'
        ) from error
