"""A real terminal for a real program: a pseudo-terminal with a screen that can be read back."""

import fcntl
import os
import select
import signal
import struct
import subprocess
import sys
import termios
import time
from collections.abc import Mapping, Sequence
from pathlib import Path

import pyte

ROOT = Path(__file__).resolve().parents[2]
LONGEST_WAIT_S = 20.0
"""A program that has not said a thing for so long will not [s]."""

KEPT = ("XDG_STATE_HOME", "XDG_CACHE_HOME", "PYTHONPYCACHEPREFIX")
"""What a program is told of where to keep things."""


class PtySession:
    """One program on one pseudo-terminal; every byte it paints is kept.

    Where the terminal does not control the program, nothing tells it of a lost line.
    """

    def __init__(
        self,
        arguments: Sequence[str],
        *,
        size: tuple[int, int] = (80, 24),
        environment: Mapping[str, str] | None = None,
        controls: bool = True,
    ) -> None:
        self.painted = b""
        self._unseen = b""
        self.size = size
        self._screen = pyte.Screen(*size)
        self._stream = pyte.ByteStream(self._screen)
        self._master, child = os.openpty()
        fcntl.ioctl(child, termios.TIOCSWINSZ, struct.pack("HHHH", size[1], size[0], 0, 0))
        self.process = subprocess.Popen(
            [sys.executable, *arguments],
            stdin=child,
            stdout=child,
            stderr=child,
            cwd=ROOT,
            env={
                "PATH": os.environ["PATH"],
                "TERM": "xterm-256color",
                "LC_ALL": "C.UTF-8",
                # What is kept of ledgers outside the yard must not reach the folders of who runs the tests.
                **{name: os.environ[name] for name in KEPT if name in os.environ},
                **(environment or {}),
            },
            start_new_session=True,
            preexec_fn=(lambda: fcntl.ioctl(0, termios.TIOCSCTTY, 0)) if controls else None,
        )
        os.close(child)

    def send(self, keys: bytes | str) -> None:
        """Press keys."""
        os.write(self._master, keys.encode() if isinstance(keys, str) else keys)

    def read(self, for_s: float) -> bytes:
        """Return what is painted within a time, at once when something is."""
        ready, _, _ = select.select([self._master], [], [], for_s)
        if not ready:
            return b""
        try:
            data = os.read(self._master, 1 << 16)
        except OSError:
            return b""
        self.painted += data
        self._unseen += data
        return data

    def wait_for(self, text: str, *, within_s: float = LONGEST_WAIT_S) -> str:
        """Return the screen once it shows a text.

        Raises:
            AssertionError: It never did; the message holds the screen as it stands.
        """
        end = time.monotonic() + within_s
        while time.monotonic() < end:
            if text in self.text:
                return self.text
            self.read(0.05)
            if self.process.poll() is not None:
                self.read(0.2)
                break
        if text in self.text:
            return self.text
        raise AssertionError(
            f"{text!r} never came; exit status {self.process.poll()}; the screen:\n{self.text}"
        )

    def settle(self, quiet_s: float = 0.15) -> str:
        """Return the screen once nothing has been painted for a while.

        Raises:
            AssertionError: The program never stops painting.
        """
        end = time.monotonic() + LONGEST_WAIT_S
        while self.read(quiet_s):
            assert time.monotonic() < end, "the program paints all the time"
        return self.text

    @property
    def text(self) -> str:
        """The screen, one line a row; drawn only when asked for, to keep it out of measured times."""
        self._stream.feed(self._unseen)
        self._unseen = b""
        return "\n".join(self._screen.display)

    def hang_up(self) -> None:
        """Lose the line, as a dropped connection does."""
        os.close(self._master)
        self._master = -1

    def end(self, number: signal.Signals | None = None, *, within_s: float = LONGEST_WAIT_S) -> int:
        """Send a signal if one is given; return the exit status once the program is gone."""
        if number is not None:
            self.process.send_signal(number)
        end = time.monotonic() + within_s
        while self.process.poll() is None and time.monotonic() < end:
            if self._master >= 0:
                self.read(0.05)
            else:
                time.sleep(0.02)
        status = self.process.poll()
        if status is None:
            self.process.kill()
            raise AssertionError(f"the program did not end within {within_s} s")
        while self._master >= 0 and self.read(0.05):
            pass
        return status

    def close(self) -> None:
        """Leave nothing behind."""
        if self.process.poll() is None:
            self.process.kill()
        self.process.wait()
        if self._master >= 0:
            os.close(self._master)
            self._master = -1
