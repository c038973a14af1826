"""Waits at the port of a scale for one steady weight."""

import time
from collections.abc import Iterator
from contextlib import closing, contextmanager
from typing import TYPE_CHECKING

from console.ground.mass import format_mass
from console.readings.scale.sent_line import LONGEST_LINE, NO_EXTRA, SentWeight, compiled, weight_sent
from console.readings.scale.wire import Parity, ScaleTrouble, ScaleWire

if TYPE_CHECKING:
    from serial import Serial

ALIKE = 3
"""Lines in a row with the same weight that count as steady, where the scale does not say (own choice)."""
LOOK_EVERY_S = 0.1
"""Longest that one look at the port lasts [s]."""
ASK_EVERY_S = 0.4
"""Between two questions to a scale that answers only when asked [s]; its display settles meanwhile."""

NO_PORT = "The scale's port {port} cannot be opened ({why}); look at cable, power and port in yard.toml."
GONE = "The scale went away while it was read ({why}); look at its cable."
SILENT = "The scale at {port} sends nothing; look at its power, its cable, and baud and ask in yard.toml."
NO_LINE_END = "The scale at {port} sends bytes and no lines; look at baud, bits and parity in yard.toml."
UNSTEADY = (
    "The weight does not come to rest (last {last}); nothing was taken. Try again when it stands still."
)
BELOW_ZERO = "The scale shows {last}, below zero; set it to zero with nothing on it, and weigh again."
NOTHING_ON_IT = "The scale shows nothing on it; put the piece on and weigh again."
TOO_HEAVY = "The scale shows {last}, more than the {largest} of [piece_scale]; nothing was taken."


def steady_mass_g(wire: ScaleWire, largest_g: int, unit: str) -> int:
    """Return the steady weight on the scale [g]; blocks for as long as the wire says at most.

    What the scale sent before is thrown away: only what it says from now on counts.

    Args:
        wire: Port and pattern.
        largest_g: More than this no piece weighs there [g].
        unit: In which the yard is told of weights.

    Raises:
        ScaleTrouble: No port, silence, garbage, a wrong unit, no rest, below zero, nothing on it, too heavy.
    """
    pattern = compiled(wire.pattern)
    trouble, last = "", None
    alike = 0
    with _opened(wire) as port:
        for line in _lines(wire, port):
            if line is None:
                trouble = trouble or NO_LINE_END.format(port=wire.port)
                continue
            try:
                sent = weight_sent(line, wire, pattern)
            except ScaleTrouble as error:
                trouble, last, alike = str(error), None, 0
                continue
            alike = alike + 1 if last is not None and sent.mass_g == last.mass_g else 1
            last = sent
            if sent.is_steady or (sent.is_steady is None and alike >= ALIKE):
                return _taken(sent, largest_g, unit)
    if last is not None:
        raise ScaleTrouble(UNSTEADY.format(last=format_mass(last.mass_g, unit)))
    raise ScaleTrouble(trouble or SILENT.format(port=wire.port))


def _taken(sent: SentWeight, largest_g: int, unit: str) -> int:
    """Return a steady weight that can be that of a piece."""
    said = format_mass(sent.mass_g, unit)
    if sent.mass_g < 0:
        raise ScaleTrouble(BELOW_ZERO.format(last=said))
    if sent.mass_g == 0:
        raise ScaleTrouble(NOTHING_ON_IT)
    if sent.mass_g > largest_g:
        raise ScaleTrouble(TOO_HEAVY.format(last=said, largest=format_mass(largest_g, unit)))
    return sent.mass_g


@contextmanager
def _opened(wire: ScaleWire) -> Iterator["Serial"]:
    """Give the port, for this program alone; whatever goes wrong with it is told as a trouble."""
    try:
        import serial
    except ImportError:
        raise ScaleTrouble(NO_EXTRA) from None
    parity = {Parity.NONE: serial.PARITY_NONE, Parity.EVEN: serial.PARITY_EVEN, Parity.ODD: serial.PARITY_ODD}
    try:
        port = serial.Serial(
            wire.port,
            baudrate=wire.baud,
            bytesize=wire.bits,
            parity=parity[wire.parity],
            stopbits=wire.stop_bits,
            timeout=LOOK_EVERY_S,
            write_timeout=wire.wait_s,
            exclusive=True,
        )
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or "in use, or not as set"
        raise ScaleTrouble(NO_PORT.format(port=wire.port, why=why)) from None
    with closing(port):
        try:
            yield port
        except OSError as error:
            why = getattr(error, "strerror", None) or "no answer from the port"
            raise ScaleTrouble(GONE.format(why=why)) from None


def _lines(wire: ScaleWire, port: "Serial") -> Iterator[str | None]:
    """Yield every whole line until the time is up; None where bytes come without an end of a line."""
    port.reset_input_buffer()
    ask_at = time.monotonic()
    end = ask_at + wire.wait_s
    # A scale that sends all the time is met in the middle of a line: its first piece is none.
    waiting, is_torn = b"", not wire.ask
    while (now := time.monotonic()) < end:
        if wire.ask and now >= ask_at:
            port.write(wire.ask.encode("ascii"))
            ask_at = now + ASK_EVERY_S
        waiting += port.read(max(1, min(port.in_waiting, LONGEST_LINE)))
        *whole, waiting = waiting.replace(b"\r", b"\n").split(b"\n")
        for one in whole:
            if one.strip() and not is_torn:
                yield one.decode("ascii", errors="replace")
            is_torn = False
        if len(waiting) > LONGEST_LINE:
            waiting, is_torn = b"", True
            yield None
