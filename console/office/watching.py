"""Follows the office: its picture whenever rows came, and why there is none while it is away."""

import time
from collections.abc import Callable, Iterator
from datetime import datetime

from console.office.address import Address, Connection, connected
from console.office.errors import OfficeError, told_in_a_line
from console.office.picture import Picture, picture_of

LOOK_S = 0.5
"""Between two looks whether the person has left [s]."""
AT_LEAST_EVERY_S = 60.0
"""A picture also where no rows came: how long ago a terminal was heard of changes by itself [s]."""
AGAIN_S = 5.0
"""Between two tries to reach an office that is away [s]."""


def watched(
    address: Address, is_over: Callable[[], bool], *, start: datetime, end: datetime
) -> Iterator[Picture | OfficeError]:
    """Yield the office's picture at once and whenever rows came; why not, where it is away. For a thread.

    Args:
        address: The office.
        is_over: Asked twice a second; the watch ends when it says so.
        start: See `picture_of`.
        end: See `picture_of`.
    """
    while not is_over():
        try:
            with connected(address, name="baywright watch") as office, told_in_a_line():
                office.execute("LISTEN baywright")
                while not is_over():
                    yield picture_of(office, start=start, end=end)
                    _wait_for_rows(office, is_over)
        except OfficeError as error:
            yield error
            until = time.monotonic() + AGAIN_S
            while not is_over() and time.monotonic() < until:
                time.sleep(LOOK_S)


def _wait_for_rows(office: Connection, is_over: Callable[[], bool]) -> None:
    """Return when rows came, when it is time for another picture, or when the watch is over."""
    until = time.monotonic() + AT_LEAST_EVERY_S
    while not is_over() and time.monotonic() < until:
        if list(office.notifies(timeout=LOOK_S, stop_after=1)):
            return
