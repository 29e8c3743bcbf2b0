"""Addresses of stores, as they are typed."""

from __future__ import annotations

from urllib.parse import parse_qs, urlsplit

from .exits import Stopped


def typed(url: str) -> str:
    """An address from a command line, which everybody on the machine can read while it runs.

    Raises:
        Stopped: a password stands in it.
    """
    parts = urlsplit(url) if url.startswith("postgresql://") else None
    if parts and (parts.password or "password" in parse_qs(parts.query)):
        raise Stopped(
            "A password in a command line can be read by everybody on this machine.",
            "Leave it out of the address, and set PGPASSWORD or keep it in ~/.pgpass.",
        )
    return url
