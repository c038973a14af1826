"""Shoot a check sample, or say how the check samples stand.

With a sample and readings: writes the shot into the open run and prints bias, z and
the state. Without readings: prints the state of the check samples of yard.toml with a
chart of their shots. Exit status 1 when the analyser is out of control or a shot is
overdue.
"""

import argparse
import sys

from console import desk as sorters_desk
from console.commands.plain_mode import is_plain_mode, print_json, print_report
from console.commands.yard_folder import (
    STORE_FILE,
    add_yard_argument,
    opened_desk,
    refuse,
    utc_now,
    yard_folder,
)
from console.ledger.rows.queries import LedgerReader
from console.reports.check_text import control_json, controls_text
from console.terminal import is_plain
from console.yard.coupons.check_samples import sample_named
from console.yard.coupons.check_state import ControlState, SampleControl

EXAMPLE = 'baywright check "316 coupon" "cr17.1 ni10.9 mo2.1 fe67" --yard demo_yard'


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    add_yard_argument(parser)
    parser.add_argument(
        "sample", nargs="?", help="name of the check sample, or a part of it that no other has"
    )
    parser.add_argument("readings", nargs="*", help="what the analyser shows, as on an entry line")
    parser.add_argument("--person", metavar="NAME", help="who shot it (default: who works the open run)")
    parser.add_argument("--json", action="store_true", help="one JSON object per sample, a line each")


def run(arguments: argparse.Namespace) -> int:
    """Enter a shot or print the state; 1 when a sample is overdue or out of control."""
    controls = _shoot(arguments) if arguments.sample and arguments.readings else _look(arguments)
    _show(controls, arguments)

    return 0 if all(control.state is ControlState.IN_CONTROL for control in controls) else 1


def _shoot(arguments: argparse.Namespace) -> "list[SampleControl]":
    """Write the shot; return how the sample stands with it."""
    line = " ".join(arguments.readings)
    with opened_desk(arguments) as desk:
        done = sorters_desk.shoot_check(
            desk.ledger, desk.yard, desk.person, arguments.sample, line, utc_now()
        )
    return [done[-1].control]


def _look(arguments: argparse.Namespace) -> "list[SampleControl]":
    """Return how the samples stand; reads only."""

    folder, at = yard_folder(arguments), utc_now()
    try:
        yard, _ = sorters_desk.load_yard_and_library(folder)
        named = sample_named(yard.check_samples, arguments.sample) if arguments.sample else None
        if (folder / STORE_FILE).exists():
            with LedgerReader.open(folder / STORE_FILE) as reader:
                controls = sorters_desk.controls_of(reader, yard, at)
        else:
            controls = sorters_desk.never_shot(yard, at)
    except KeyError as error:
        refuse(str(error.args[0]))
    return [control for control in controls if named in (None, control.sample)]


def _show(controls: "list[SampleControl]", arguments: argparse.Namespace) -> None:
    """Print the samples: as JSON; with charts where a state was asked for; without after a shot."""

    if arguments.json:
        for control in controls:
            print_json(control_json(control))
        return
    has_charts = not arguments.readings and not is_plain_mode()
    print_report(controls_text(controls, is_plain=is_plain(sys.stdout.encoding), has_charts=has_charts))
