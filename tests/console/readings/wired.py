"""A scale at the other end of a real pseudo-terminal."""

import os
import threading
import tty
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import replace

from console.readings.scale.wire import ScaleWire

PATTERN = r"(?P<stable>=)? *(?P<weight>[-+]?[0-9.,]+) *(?P<unit>[a-z]*)"


@contextmanager
def scale_at(*sent: bytes, wire: ScaleWire | None = None) -> Iterator[ScaleWire]:
    """Give the wire of a scale that sends these bytes over and over; when asked, one each."""
    ours, theirs = os.openpty()
    tty.setraw(theirs)
    wire = wire or ScaleWire(port="", pattern=PATTERN, wait_s=0.5)
    is_over = threading.Event()

    def work() -> None:
        number = 0
        with suppress(OSError):
            while sent and not is_over.is_set():
                if wire.ask:
                    asked = os.read(ours, len(wire.ask))
                    assert asked == wire.ask.encode()
                os.write(ours, sent[number % len(sent)])
                number += 1
                is_over.wait(0.01)

    thread = threading.Thread(target=work, daemon=True)
    thread.start()
    try:
        yield replace(wire, port=os.ttyname(theirs))
    finally:
        is_over.set()
        os.close(theirs)  # ends a read that still waits
        thread.join(2)
        os.close(ours)
