"""Addresses of stores, as a person types them."""

from __future__ import annotations

from urllib.parse import parse_qs, urlsplit

from .exits import Stopped


def refuse_password(address: str) -> None:
    """Refuse a typed address with a password: everybody on the machine can read a command line.

    Raises:
        Stopped: there is a password in it.
    """
    parts = urlsplit(address) if address.startswith("postgresql://") else None
    if parts and (parts.password or "password" in parse_qs(parts.query)):
        raise Stopped(
            "A password in a command line can be read by everybody on this machine.",
            "Leave it out of the address, and set PGPASSWORD or keep it in ~/.pgpass.",
        )
