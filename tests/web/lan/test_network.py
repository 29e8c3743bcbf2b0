"""The certificate is renewed while the service runs, and only where it can run."""

from __future__ import annotations

import socket
import ssl
import time
from pathlib import Path

import pytest
from cryptography import x509
from cureyard_service.web.lan import place
from cureyard_service.web.lan.network import Network
from flask import Flask


def test_the_certificate_is_renewed_while_it_runs(tmp_path: Path) -> None:
    """Who connects afterwards gets the new one, of the same key; the new fingerprint is told."""
    moments, store = [int(time.time())], str(tmp_path / "yard.sqlite")
    network = Network(Flask("yard"), "127.0.0.1", 0, store, lambda: moments[0])
    at = ("127.0.0.1", int(network.served.address.rpartition(":")[2]))
    with network.open(1):
        before, first = ssl.get_server_certificate(at), network.served
        network.renew()
        assert (ssl.get_server_certificate(at), network.served) == (before, first)
        moments[0] += 380 * 24 * 3600
        network.renew()
        after = ssl.get_server_certificate(at)
        assert after != before
        assert place.served(store) == network.served != first
    keys = [x509.load_pem_x509_certificate(each.encode()).public_key() for each in (before, after)]
    assert keys[0] == keys[1]


def test_where_nobody_can_be_served_no_certificate_is_made(tmp_path: Path) -> None:
    """Another program listens at the address: the folder stays as it is."""
    store = str(tmp_path / "yard.sqlite")
    with socket.create_server(("127.0.0.1", 0)) as other, pytest.raises(OSError, match="in use"):
        Network(Flask("yard"), "127.0.0.1", other.getsockname()[1], store, lambda: 0)
    assert not place.folder(store).exists()
