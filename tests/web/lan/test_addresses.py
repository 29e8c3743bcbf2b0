"""The machine's own address on the yard's network."""

from __future__ import annotations

import socket

import pytest
from cureyard_service.web.lan import addresses
from cureyard_service.web.lan.addresses import NoAddress


def has(monkeypatch: pytest.MonkeyPatch, *found: str) -> None:
    """Have the machine tell these addresses."""
    monkeypatch.setattr(addresses, "_towards", lambda _: None)
    monkeypatch.setattr(addresses, "_by_name", lambda: found)


def test_the_only_one_is_taken(monkeypatch: pytest.MonkeyPatch) -> None:
    """Its own loopback and a made-up link-local address do not count."""
    has(monkeypatch, "127.0.0.1", "127.0.1.1", "169.254.3.4", "192.168.1.20", "192.168.1.20")
    assert addresses.chosen(None) == "192.168.1.20"


def test_of_several_one_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    """The words list them."""
    has(monkeypatch, "192.168.1.20", "10.0.0.3")
    with pytest.raises(NoAddress, match=r"10\.0\.0\.3, 192\.168\.1\.20.*--address 10\.0\.0\.3"):
        addresses.chosen(None)
    assert addresses.chosen("192.168.1.20") == "192.168.1.20"


def test_without_any_it_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    """A machine without a network."""
    has(monkeypatch, "127.0.0.1")
    with pytest.raises(NoAddress, match="has no address on a network"):
        addresses.chosen(None)


@pytest.mark.parametrize("text", ["0.0.0.0", "::", "yard.local", "", "224.0.0.1", "192.0.2.0/24"])
def test_only_the_address_of_one_machine_is_one(text: str) -> None:
    """Not all of them at once: a certificate is for an address, and so is a code."""
    with pytest.raises(NoAddress, match="--address"):
        addresses.chosen(text)


def test_this_machine_tells_its_own() -> None:
    """Each is one that can be listened at."""
    for each in addresses.own():
        socket.create_server((each, 0)).close()


@pytest.mark.parametrize(
    ("name", "taken"),
    [
        ("Yard-PC", ["localhost", "yard-pc", "yard-pc.local"]),
        ("yard.example", ["localhost", "yard.example"]),
        ("die_werft", ["localhost"]),
        ("", ["localhost"]),
    ],
)
def test_its_names(monkeypatch: pytest.MonkeyPatch, name: str, taken: list[str]) -> None:
    """A name that is none for a certificate is left out (RFC 1123, 2.1)."""
    monkeypatch.setattr(socket, "gethostname", lambda: name)
    assert addresses.names() == taken


def test_ipv6_in_an_address() -> None:
    """RFC 3986, 3.2.2."""
    assert addresses.shown("fd00::7", 8765) == "https://[fd00::7]:8765"
    assert addresses.shown("192.0.2.20", 8765) == "https://192.0.2.20:8765"
