"""The machine at the other end of a connection, and whether its word counts.

Whoever reaches a socket can write any `X-Forwarded-…` header. So behind a proxy they are believed
by the connection's own address alone, before anything else looks at the request: from the proxies
that were named, or where none was, from this machine.
"""

from __future__ import annotations

import ipaddress
from collections.abc import Iterable
from typing import Any

from werkzeug.middleware.proxy_fix import ProxyFix

Address = ipaddress.IPv4Address | ipaddress.IPv6Address

STRANGER = "cureyard.stranger"
"""Set in the environment of a request that came past the proxy from another machine."""


def address(text: str | None) -> Address | None:
    """An address as it is compared: IPv4 inside IPv6 is IPv4. None for what is none."""
    try:
        found = ipaddress.ip_address(text or "")
    except ValueError:
        return None
    mapped = found.ipv4_mapped if found.version == 6 else None
    return mapped or found


def is_loopback(text: str | None) -> bool:
    """Whether an address is this machine's own, which no network leads to."""
    found = address(text)
    return found is not None and found.is_loopback


def named(trusted: Iterable[str]) -> frozenset[Address]:
    """The addresses of proxies, as they were given.

    Raises: ValueError: one of them is no single machine's address.
    """
    return frozenset(_one(text) for text in trusted)


def _one(text: str) -> Address:
    found = address(text)
    if found is None or found.is_unspecified or found.is_multicast:
        raise ValueError(f"{text!r} is not the address of a machine, such as 192.0.2.20.")
    return found


class Proxied:
    """WSGI middleware: what the proxy says of a request counts, and nobody else's word.

    A request from another machine that is not the proxy came over the network in the clear. It is
    marked, and refused by `guards`. One from this machine is answered for what it is itself.

    Args:
        trusted: the proxies' addresses; with none it is this machine that the proxy runs on.
    """

    def __init__(self, application: Any, trusted: frozenset[Address]) -> None:
        self._plain = application
        self._believing = ProxyFix(application, x_host=1)
        self._trusted = trusted

    def __call__(self, environ: dict[str, Any], start_response: Any) -> Iterable[bytes]:
        """Have the application answer."""
        peer = environ.get("REMOTE_ADDR")
        here = is_loopback(peer)
        if address(peer) in self._trusted or (here and not self._trusted):
            return self._believing(environ, start_response)
        if not here:
            environ[STRANGER] = True
        answer: Iterable[bytes] = self._plain(environ, start_response)
        return answer
