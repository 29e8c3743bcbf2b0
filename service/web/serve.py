"""Serve over HTTP until told to stop."""

from __future__ import annotations

import ipaddress
import logging
import signal
import sys
from types import FrameType
from typing import Any

import waitress

from ..store.database import db
from ..store.locks import serving
from .app import create_app
from .bodies import CSV_LIMIT
from .settings import Clock, Settings, wall_clock

THREADS = 8


class NotLoopback(ValueError):
    """The address would let other machines in, where nobody has to log in."""


def serve(host: str, port: int, settings: Settings, *, clock: Clock = wall_clock) -> None:
    """Bring the store to this program's version and serve it; returns after SIGTERM or Ctrl-C.

    A request that is being answered is answered first.

    Args:
        host: a name or address of this machine itself.
        port: 0 takes any that is free; the address is told on stderr.

    Raises:
        NotLoopback: other machines could reach it.
        OSError: the port is taken.
        StoreUnusable: as `create_app`.
    """
    _check(host)
    app = create_app(settings, clock=clock)
    logging.getLogger("waitress.queue").setLevel(logging.ERROR)  # it warns of every waiting request
    with serving(db):
        server: Any = waitress.create_server(
            app, host=host, port=port, threads=THREADS, max_request_body_size=2 * CSV_LIMIT
        )
        signal.signal(signal.SIGTERM, _stop)
        print(f"Serving at http://{_shown(host)}:{server.effective_port}", file=sys.stderr)
        server.run()


def _check(host: str) -> None:
    try:
        loopback = host == "localhost" or ipaddress.ip_address(host).is_loopback
    except ValueError:
        loopback = False
    if not loopback:
        raise NotLoopback(
            f"{host!r} would let other machines in, and nobody has to log in here yet. "
            "Serve at 127.0.0.1."
        )


def _shown(host: str) -> str:
    return f"[{host}]" if ":" in host else host


def _stop(_signal: int, _frame: FrameType | None) -> None:
    raise SystemExit(0)
