"""Who is at the other end of a connection that the front passes on.

The server sees the front's own connections, each from a port of this machine. The front says here
whose each of them is, and the application asks by that port. No header says it, so none can be
forged.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

from ..http.peers import STRANGER

if TYPE_CHECKING:
    from _typeshed.wsgi import StartResponse, WSGIApplication, WSGIEnvironment

INNER = "127.0.0.1"
"""Where the server listens for the front."""


class Callers:
    """WSGI middleware: a request that the front passed on is its caller's, and came by TLS.

    A request at the front's own socket that no caller is known for is marked as a stranger's, and
    `guards` refuses it: another program of this machine, or a caller that is gone already.

    Attributes:
        port: where the server listens for the front; None until it does.
    """

    def __init__(self, application: WSGIApplication) -> None:
        self.port: int | None = None
        self._application = application
        self._by_port: dict[str, str] = {}

    @contextmanager
    def passing_on(self, port: int, address: str) -> Iterator[None]:
        """While a connection of the front from a port is a caller's; it is open all the while."""
        self._by_port[str(port)] = address
        try:
            yield
        finally:
            del self._by_port[str(port)]

    def __call__(self, environ: WSGIEnvironment, start_response: StartResponse) -> Iterable[bytes]:
        """Have the application answer."""
        # By the address too: a socket of ::1 may have the same port.
        if (environ["REMOTE_ADDR"], environ["SERVER_PORT"]) == (INNER, str(self.port)):
            address = self._by_port.get(environ["REMOTE_PORT"])
            if address is None:
                environ[STRANGER] = True
            else:
                environ["REMOTE_ADDR"] = environ["REMOTE_HOST"] = address
                environ["wsgi.url_scheme"] = "https"
        return self._application(environ, start_response)
