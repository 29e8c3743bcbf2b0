"""The yard's network as a whole: its address and certificate, and the front before the server."""

from __future__ import annotations

import logging
import socket
import ssl
from collections.abc import Callable, Iterator
from contextlib import contextmanager

from flask import Flask

from ..context.people import is_known
from . import addresses, certificate, place
from .callers import Callers
from .front import Front

WAITING = 128
"""Connections that the system holds until they are taken."""


class Network:
    """Where the yard is served to its network.

    Attributes:
        served: the address that browsers take, and the certificate's fingerprint.
        callers: the middleware that knows whose a request is.
    """

    def __init__(
        self, app: Flask, address: str, port: int, database: str, clock: Callable[[], int]
    ) -> None:
        self._address, self._folder, self._clock = address, place.folder(database), clock
        self._context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
        self._context.set_alpn_protocols(["http/1.1"])
        family = socket.AF_INET6 if ":" in address else socket.AF_INET
        self._listener = socket.create_server((address, port), family=family, backlog=WAITING)
        try:
            files = self._certified()  # only now: where nobody can be served, nothing is renewed
        except BaseException:
            self._listener.close()
            raise
        shown = addresses.shown(address, self._listener.getsockname()[1])
        self.served = place.Served(shown, files.fingerprint)
        self.callers = Callers(app.wsgi_app)
        app.wsgi_app = self.callers  # type: ignore[method-assign]  # where Flask wants a middleware
        self._front = Front(self._listener, self._context, self.callers, is_known, self.renew)

    @contextmanager
    def open(self, server_port: int) -> Iterator[None]:
        """Serve, before a server that listens for it at a port of `callers.INNER`."""
        self.callers.port = server_port
        self._front.start()
        try:
            with place.told(self._folder, self.served):
                yield
        finally:
            self._front.stop()

    def close(self) -> None:
        """Take nobody new."""
        self._front.close()

    def _certified(self) -> certificate.Files:
        files = certificate.kept(self._folder, [self._address], addresses.names(), self._clock())
        self._context.load_cert_chain(files.certificate, files.key)
        return files

    def renew(self) -> None:
        """Renew the certificate where it has to be; who connects from then on gets the new one."""
        files = self._certified()
        if files.fingerprint != self.served.fingerprint:
            self.served = place.Served(self.served.address, files.fingerprint)
            place.tell(self._folder, self.served)
            logging.getLogger("cureyard").warning(
                "The certificate was renewed. Its SHA-256 fingerprint: %s", files.fingerprint
            )
