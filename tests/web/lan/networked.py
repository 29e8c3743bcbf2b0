"""A yard that is served to its network, in a process of its own; other machines are 127.0.0.x."""

from __future__ import annotations

import socket
import ssl
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import pytest
import requests
from cureyard_service.acts.yard import tokens
from cureyard_service.store.engine.database import db, open_store
from cureyard_service.store.upkeep.migrate import migrate_forward
from cureyard_service.store.yard.hands import Hand

from ...waiting import HANGS_S
from ..telling import TELLING

PROGRAM = f"""{TELLING}
serve("127.0.0.1", 0, Settings(database=sys.argv[1], zone="UTC"), lan=True, address="127.0.0.1",
      log=True)
"""
KEEPER = Hand("Keeper", verified=False, role="admin")


@dataclass(frozen=True)
class Networked:
    """A served yard.

    Attributes:
        process: it. plain, address: where this machine and where the network asks.
        secret: an admin's token. trusted: the file of its certificate.
    """

    process: subprocess.Popen[str]
    plain: str
    address: str
    secret: str
    trusted: Path

    @property
    def port(self) -> int:
        """The network's port."""
        return int(self.address.rpartition(":")[2])

    @property
    def bearer(self) -> dict[str, str]:
        """The header that shows the token."""
        return {"Authorization": f"Bearer {self.secret}"}

    def get(self, path: str, **how: object) -> requests.Response:
        """Ask over the network; by default with the token."""
        told: dict[str, object] = {"headers": self.bearer, "timeout": HANGS_S, **how}
        return requests.get(self.address + path, verify=self.trusted, **told)  # type: ignore[arg-type]

    def bare(self, source: str = "127.0.0.1") -> socket.socket:
        """A connection that says nothing yet, from an address."""
        try:
            return socket.create_connection(("127.0.0.1", self.port), HANGS_S, (source, 0))
        except OSError:
            pytest.skip("this machine has one loopback address")

    def line(self, source: str = "127.0.0.1") -> ssl.SSLSocket:
        """A connection with its TLS, from an address."""
        context = ssl.create_default_context(cafile=str(self.trusted))
        return context.wrap_socket(self.bare(source), server_hostname="127.0.0.1")

    def logged(self) -> Iterator[str]:
        """The lines of its log."""
        assert self.process.stderr is not None
        return iter(self.process.stderr.readline, "")


@contextmanager
def networked(folder: Path) -> Iterator[Networked]:
    """A yard served from a folder."""
    store = str(folder / "yard.sqlite")
    migrate_forward(open_store(store))
    made = tokens.add_token(name="Ada", role="admin", now=0, hand=KEEPER)
    db.close()
    with subprocess.Popen(
        [sys.executable, "-c", PROGRAM, store], stderr=subprocess.PIPE, text=True
    ) as process:
        assert process.stderr is not None
        try:
            lines = [process.stderr.readline() for _ in range(3)]
            assert lines[2].startswith("SHA-256"), "".join(lines) + process.stderr.read()
            plain, address = (line.split()[-1] for line in lines[:2])
            trusted = folder / "yard.sqlite.lan" / "certificate.pem"
            yield Networked(process, plain, address, made.token, trusted)
        finally:
            process.kill()


def answered(line: socket.socket, raw: bytes) -> bytes:
    """All that comes back for what is sent, until the other side closes."""
    line.sendall(raw)
    return b"".join(iter(lambda: line.recv(65536), b""))
