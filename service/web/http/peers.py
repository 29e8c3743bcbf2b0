"""The machine at the other end of a connection, and whether its `X-Forwarded-…` headers count.

Whoever reaches a socket can send any such header. So behind a proxy they count only from the
proxies that were named or, if none was, from this machine: the connection's own address decides,
before anything else looks at the request.
"""

from __future__ import annotations

import ipaddress
from collections.abc import Iterable
from typing import TYPE_CHECKING

from werkzeug.middleware.proxy_fix import ProxyFix

if TYPE_CHECKING:
    from _typeshed.wsgi import StartResponse, WSGIApplication, WSGIEnvironment

Address = ipaddress.IPv4Address | ipaddress.IPv6Address

STRANGER = "cureyard.stranger"
"""Set in the environment of a request that came from another machine, past the proxy."""


def address(text: str | None) -> Address | None:
    """An address to compare: IPv4 inside IPv6 becomes IPv4. None, if `text` is no address."""
    try:
        found = ipaddress.ip_address(text or "")
    except ValueError:
        return None
    mapped = found.ipv4_mapped if found.version == 6 else None
    return mapped or found


def is_loopback(text: str | None) -> bool:
    """Whether it is this machine's own address, which no network reaches."""
    found = address(text)
    return found is not None and found.is_loopback


def named(trusted: Iterable[str]) -> frozenset[Address]:
    """The addresses of proxies, from their texts.

    Raises:
        ValueError: one of them is not the address of a single machine.
    """
    return frozenset(_one(text) for text in trusted)


def _one(text: str) -> Address:
    found = address(text)
    if found is None or found.is_unspecified or found.is_multicast:
        raise ValueError(f"{text!r} is not the address of a machine, such as 192.0.2.20.")
    return found


class Proxied:
    """WSGI middleware: the proxy's `X-Forwarded-…` headers count, and nobody else's.

    A request from another machine that is not the proxy came over the network in the clear. It is
    marked here, and refused by `guards`. One from this machine itself is answered as such.

    Args:
        trusted: the proxies' addresses; with none the proxy runs on this machine.
    """

    def __init__(self, application: WSGIApplication, trusted: frozenset[Address]) -> None:
        self._plain = application
        self._believing = ProxyFix(application, x_host=1)
        self._trusted = trusted

    def __call__(self, environ: WSGIEnvironment, start_response: StartResponse) -> Iterable[bytes]:
        """Have the application answer."""
        peer = environ.get("REMOTE_ADDR")
        here = is_loopback(peer)
        if address(peer) in self._trusted or (here and not self._trusted):
            return self._believing(environ, start_response)
        if not here:
            environ[STRANGER] = True
        return self._plain(environ, start_response)
