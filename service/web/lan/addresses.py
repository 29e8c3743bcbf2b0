"""The addresses and names that this machine has on the yard's network."""

from __future__ import annotations

import ipaddress
import re
import socket
from collections.abc import Iterable
from contextlib import closing, suppress

from ..http.peers import named

ELSEWHERE = ("192.0.2.1", "10.255.255.254", "172.31.255.254", "192.168.255.254")
"""Machines outside and in each private range (RFC 5737, RFC 1918): the operating system says by
which own address it would reach each. Nothing is sent to them."""
_NAME = re.compile(r"[a-z0-9]([a-z0-9-]{0,62})(\.[a-z0-9][a-z0-9-]{0,62})*", re.IGNORECASE)


class NoAddress(ValueError):
    """This machine has none, or several, and which is meant was not said."""


def chosen(address: str | None) -> str:
    """The address to serve at: the one given, or else the machine's only one.

    Raises:
        NoAddress: it has none or several; or the one given is no address of a machine.
    """
    if address is not None:
        return _given(address)
    found = own()
    if len(found) == 1:
        return found[0]
    if not found:
        raise NoAddress(
            "This machine has no address on a network. Connect it, or name one: --address ADDRESS."
        )
    raise NoAddress(
        f"This machine has several addresses: {', '.join(found)}. Name the one of the yard's "
        f"network: --address {found[0]}"
    )


def own() -> list[str]:
    """The machine's IPv4 addresses on networks, as every operating system tells them."""
    found = [*map(_towards, ELSEWHERE), *_by_name()]
    usable = {each for each in found if each is not None and _is_on_a_network(each)}
    return sorted(usable, key=ipaddress.ip_address)


def names() -> list[str]:
    """What the machine is called, as a certificate takes it: alone, and in a small network."""
    name = socket.gethostname().lower()
    if _NAME.fullmatch(name) is None:
        return ["localhost"]
    return ["localhost", name, *([] if "." in name else [f"{name}.local"])]


def shown(address: str, port: int) -> str:
    """The address that a browser takes."""
    host = f"[{address}]" if ":" in address else address
    return f"https://{host}:{port}"


def _given(text: str) -> str:
    try:
        (found,) = named([text])
    except ValueError as error:
        raise NoAddress(f"--address: {error} Name this machine's on the network.") from error
    return str(found)


def _towards(there: str) -> str | None:
    with closing(socket.socket(socket.AF_INET, socket.SOCK_DGRAM)) as line, suppress(OSError):
        line.connect((there, 9))
        return str(line.getsockname()[0])
    return None


def _by_name() -> Iterable[str]:
    try:
        return socket.gethostbyname_ex(socket.gethostname())[2]
    except OSError:
        return []


def _is_on_a_network(address: str) -> bool:
    found = ipaddress.ip_address(address)
    return not (found.is_loopback or found.is_unspecified or found.is_link_local)
