"""A network between terminal and office that can be cut."""

import socket
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress

from psycopg.conninfo import conninfo_to_dict, make_conninfo

from console.office.address import Address


def _server_socket(address: Address) -> socket.socket:
    known = conninfo_to_dict(address.conninfo)
    host, port = str(known.get("host") or "localhost"), int(known.get("port") or 5432)
    if not host.startswith("/"):
        return socket.create_connection((host, port))
    own = socket.socket(socket.AF_UNIX)
    own.connect(f"{host}/.s.PGSQL.{port}")
    return own


@contextmanager
def cut_after(
    address: Address, sent_bytes: int, *, silent: bool = False, act: Callable[[], None] = lambda: None
) -> Iterator[Address]:
    """Give the address of a way to the office that is cut once the terminal has sent so many bytes.

    Args:
        address: The office.
        sent_bytes: So many get through.
        silent: Both ends stay up and acknowledge what they are sent, but nothing goes through any more.
        act: Done at that moment.
    """
    swallows = threading.Event()
    listener = socket.create_server(("127.0.0.1", 0))
    ends: list[socket.socket] = [listener]

    def pass_on(source: socket.socket, to: socket.socket, most: int | None) -> None:
        left = most
        with suppress(OSError):
            while data := source.recv(1024):
                if left is not None and (left := left - len(data)) < 0 and not swallows.is_set():
                    act()
                    if not silent:
                        break
                    swallows.set()
                if not swallows.is_set():
                    to.sendall(data)
        for end in (source, to):
            with suppress(OSError):
                end.shutdown(socket.SHUT_RDWR)

    def serve() -> None:
        with suppress(OSError):
            near, _ = listener.accept()
            far = _server_socket(address)
            ends.extend((near, far))
            threading.Thread(target=pass_on, args=(far, near, None), daemon=True).start()
            pass_on(near, far, sent_bytes)

    thread = threading.Thread(target=serve, daemon=True)
    thread.start()
    port = listener.getsockname()[1]
    yield Address(conninfo=make_conninfo(address.conninfo, host="127.0.0.1", port=port, sslmode="disable"))
    for end in ends:
        with suppress(OSError):
            end.shutdown(socket.SHUT_RDWR)
        end.close()
    thread.join()
