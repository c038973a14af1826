"""The office on a server: made, or asked for its picture of all yards."""

import argparse

from console.commands.yard_folder import refuse

NEEDS = 'the office needs one more package: pip install "baywright[office]"'


def run_on_server(arguments: argparse.Namespace) -> int:
    """Do what was asked of the server; return the exit status."""
    try:
        from console.office.address import address_named, connected
        from console.office.schema import climb
    except ImportError:
        refuse(NEEDS)
    address = address_named(arguments.server)
    with connected(address, name="baywright office") as office:
        before, after = climb(office)
    if before == after:
        print(f"the office ({address}) is of step {after} already; nothing was changed")
    else:
        print(f"the office ({address}) was brought from step {before} to step {after}")
    return 0
