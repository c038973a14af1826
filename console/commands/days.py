"""Dates on the command line, and the stretch of time they mean in the yard's zone."""

import argparse
from datetime import date, datetime, timedelta

from console.commands.yard_folder import say
from console.ground.dates import midnight
from console.ledger.rows.clock_steps import impossible_dates
from console.ledger.rows.connection import LedgerSource

OFFICE = "office"
"""The office that yard.toml or the environment names."""
SERVER_STARTS = ("postgresql:", "postgres:")
"""How the address of an office begins; a word with "=" is one too."""


class DayOrServer(argparse.Action):
    """A --from that takes a day, the address of an office, or both, one after the other."""

    def __call__(
        self,
        parser: argparse.ArgumentParser,
        namespace: argparse.Namespace,
        values: object,
        option_string: str | None = None,
    ) -> None:
        """Keep a day as `first`, an address as `server`."""
        text = str(values)
        if text == OFFICE or text.startswith(SERVER_STARTS) or "=" in text:
            namespace.server = text
            return
        try:
            setattr(namespace, self.dest, day(text))
        except argparse.ArgumentTypeError as error:
            raise argparse.ArgumentError(self, str(error)) from error


def add_day_arguments(parser: argparse.ArgumentParser, *, first: type[argparse.Action] | None = None) -> None:
    """Give a command its --from and --to.

    Args:
        parser: Of the command.
        first: What a --from is; None for a day.
    """
    parser.set_defaults(server=None)
    if first is None:
        parser.add_argument(
            "--from", dest="first", type=day, metavar="DATE", help="first day, such as 2026-03-01"
        )
    else:
        parser.add_argument(
            "--from", dest="first", action=first, metavar="DATE|ADDRESS",
            help="first day, such as 2026-03-01; or the office's server, such as postgresql://HOST/DATABASE",
        )  # fmt: skip
    parser.add_argument("--to", dest="last", type=day, metavar="DATE", help="last day, itself included")


def stretch_of(arguments: argparse.Namespace) -> tuple[datetime | None, datetime | None]:
    """Return begin and end (not included) of the days asked for; None for open. The yard must be known."""
    begin = midnight(arguments.first) if arguments.first else None
    end = midnight(arguments.last + timedelta(days=1)) if arguments.last else None
    return begin, end


def say_of_impossible_dates(arguments: argparse.Namespace, source: LedgerSource, now: datetime) -> None:
    """Tell of pieces that no report by dates can hold, where one was asked for."""
    if arguments.first or arguments.last:
        for year, count in impossible_dates(source, now):
            say(f"{count} pieces bear a date in {year}, which cannot be: no report by dates holds them")


def day(text: str) -> date:
    """Return a day as typed.

    Raises:
        ArgumentTypeError: It is none.
    """
    try:
        return date.fromisoformat(text)
    except ValueError as error:
        raise argparse.ArgumentTypeError(
            f'"{text}" is no date; needs year-month-day, such as 2026-03-01'
        ) from error
