"""Where the office's server is, and the connection to it.

The address is what libpq takes: `postgresql://user@host/database` or `service=NAME`. A password stands in the
service file, the password file (~/.pgpass) or the environment, where neither `ps` nor a log shows it; TLS is
set by libpq's own words (sslmode, sslrootcert, ...), which are passed on as they are.
Source of the words: PostgreSQL documentation, chapter libpq, connection strings.
"""

import os
import time
from collections.abc import Generator, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

import psycopg
from psycopg.conninfo import conninfo_to_dict, make_conninfo

from console.ground.cleaning import clean
from console.office.errors import OfficeError, told_in_a_line

VARIABLE = "BAYWRIGHT_OFFICE"
"""Environment variable that may name the office, its password too."""
WAIT_S = 10
"""Longest wait for a server that does not answer (own choice) [s]."""
SLOW_S = 120
"""Longest wait for one statement (own choice) [s]."""
PATIENCE = {
    "connect_timeout": str(WAIT_S),
    "keepalives_idle": "20",
    "keepalives_interval": "5",
    "keepalives_count": "3",
    "tcp_user_timeout": "60000",
}
"""A network that was cut is noticed within a minute (own choice); an address may say otherwise."""
SILENT_S = float(SLOW_S + WAIT_S)
"""The server ends a statement after SLOW_S: what says nothing for longer is a network that went silent while
its ends still acknowledge each other [s]."""
_SECRETS = ("password", "sslpassword", "oauth_client_secret")
NO_SECRETS = (
    "The address of the office holds a password, which other people of this computer could read there. Take "
    "it out (and change it), and put it into ~/.pgpass, a service file (service=NAME) or the "
    "variable PGPASSWORD."
)

Connection = psycopg.Connection[tuple[Any, ...]]


class _Silent(psycopg.OperationalError):
    """No answer came for too long."""


class _Session(Connection):
    """A connection that is given up where no answer comes, though the network looks whole."""

    silent_s = SILENT_S

    def wait(self, gen: Any, *args: Any, **options: Any) -> Any:
        """Wait for the server as psycopg does, but not for ever."""
        try:
            return super().wait(_until(gen, self.silent_s), *args, **options)
        except _Silent:
            self.close()
            raise


def _until(gen: Generator[Any, Any, Any], silent_s: float) -> Generator[Any, Any, Any]:
    """Pass on what a generator of psycopg asks of the socket; raise once nothing was ready for so long."""
    until = time.monotonic() + silent_s
    try:
        asked = next(gen)
        while True:
            ready = yield asked
            if ready:
                until = time.monotonic() + silent_s
            elif time.monotonic() > until:
                raise _Silent(f"no answer for {silent_s:g} s")
            asked = gen.send(ready)
    except StopIteration as ended:
        return ended.value


@dataclass(frozen=True, slots=True, kw_only=True)
class Address:
    """Where the office is; its text form holds no secret."""

    conninfo: str
    """As libpq takes it."""

    def __repr__(self) -> str:
        return f"Address({str(self)!r})"

    def __str__(self) -> str:
        known = conninfo_to_dict(self.conninfo)
        if "service" in known:
            return clean(f"service {known['service']}")
        return clean(f"{known.get('dbname', '')} on {known.get('host', 'this computer')}".strip())


def address_of(text: str, *, is_open: bool = True) -> Address:
    """Return an address as typed or as yard.toml has it.

    Args:
        text: `postgresql://...`, or words such as `service=NAME`.
        is_open: Whether others can read it: then it may hold no secret.

    Raises:
        OfficeError: It is none, or holds a secret where others can read it. The text is not quoted.
    """
    try:
        known = conninfo_to_dict(text)
    except psycopg.Error:
        raise OfficeError(
            "The address of the office is not understood: it needs postgresql://USER@HOST/DATABASE, or "
            "service=NAME of a service file."
        ) from None
    if is_open and any(known.get(secret) for secret in _SECRETS):
        raise OfficeError(NO_SECRETS)
    return Address(conninfo=text)


def address_named(typed: str | None, in_yard: str = "") -> Address:
    """Return the office's address: as typed, else as yard.toml has it, else as the environment names it.

    Raises:
        OfficeError: None is named, or it is none.
    """
    if typed or in_yard:
        return address_of(typed or in_yard)
    if text := os.environ.get(VARIABLE, ""):
        return address_of(text, is_open=False)
    raise OfficeError(
        "No office is named. Give its ADDRESS (postgresql://USER@HOST/DATABASE), write [office] server = "
        f'"..." into yard.toml, or set {VARIABLE}.'
    )


@contextmanager
def connected(
    address: Address, *, name: str = "baywright", silent_s: float = SILENT_S
) -> Iterator[Connection]:
    """Give a connection, each statement a transaction unless one is begun; closed at the end.

    Args:
        address: The office.
        name: Whom the server sees.
        silent_s: Without any answer for so long the office is given up [s].

    Raises:
        OfficeError: The server does not answer or refuses.
    """
    with told_in_a_line():
        connection = _Session.connect(
            make_conninfo("", **(PATIENCE | conninfo_to_dict(address.conninfo) | {"application_name": name})),
            autocommit=True,
        )
        connection.silent_s = silent_s
        try:
            connection.execute(f"SET statement_timeout = '{SLOW_S}s'")
            connection.execute("SET timezone = 'UTC'")
            yield connection
        finally:
            connection.close()
