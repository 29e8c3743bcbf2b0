"""Serve over HTTP until told to stop."""

from __future__ import annotations

import logging
import signal
import sys
from collections.abc import Sequence
from typing import Any

import waitress
from flask import Flask

from ..acts.yard.tokens import any_made
from ..store.engine.database import db
from ..store.engine.locks import serving
from .app import create_app
from .context import streams
from .context.settings import Clock, Settings, wall_clock
from .http import peers
from .http.bodies import CSV_LIMIT

THREADS = 8 + streams.MOST
"""Each open stream holds one."""
CONNECTIONS = 500
"""Open at once. The library's own hundred is filled by whoever opens so many and says nothing."""
SILENT_S = 30
"""A connection that asks nothing for so long is let go; one that is being answered is not."""
SWEEP_S = 10
"""How often those are looked for."""


class Exposed(ValueError):
    """Served so, secrets would cross the network in the open, or anybody would be let in."""


def serve(
    host: str,
    port: int,
    settings: Settings,
    *,
    clock: Clock = wall_clock,
    behind_proxy: bool = False,
    trust: Sequence[str] = (),
) -> None:
    """Bring the store to this program's version and serve it; returns after SIGTERM or Ctrl-C.

    A request that is being answered is answered first.

    Args:
        host: a name or address to listen at; of this machine itself, unless a proxy is trusted.
        port: 0 takes any that is free; the address is told on stderr.
        behind_proxy: whether a proxy keeps the network's side, with TLS, and passes requests on
            with X-Forwarded-For, -Proto and -Host, which it sets itself.
        trust: that proxy's addresses, where it is on another machine.

    Raises:
        Exposed: other machines could reach it without TLS, nobody has a token for a proxy, or
            what is to be trusted is no address.
        OSError: the port is taken.
        StoreUnusable: as `create_app`.
    """
    trusted = _trusted(trust)
    if not (behind_proxy and trusted):
        _check_loopback(host, behind_proxy)
    app = create_app(settings, clock=clock, behind_proxy=behind_proxy, trusted=trusted)
    if behind_proxy and not any_made():
        raise Exposed(
            "Nobody has a token, so through a proxy nobody could ask. Make the first one here: "
            "cureyard token add NAME --role admin"
        )
    logging.getLogger("waitress.queue").setLevel(logging.ERROR)  # it warns of every waiting request
    with serving(db):
        server: Any = waitress.create_server(
            app, host=host, port=port, threads=THREADS, max_request_body_size=2 * CSV_LIMIT,
            asyncore_use_poll=True, connection_limit=CONNECTIONS,
            channel_timeout=SILENT_S, cleanup_interval=SWEEP_S,
            channel_request_lookahead=1,  # a stream learns so that nobody listens any more
            clear_untrusted_proxy_headers=False,  # a proxy nobody spoke of must be seen: `guards`
        )  # fmt: skip
        _end_streams_on_stop(app)
        print(f"Serving at http://{_shown(host)}:{server.effective_port}", file=sys.stderr)
        server.run()


def _trusted(trust: Sequence[str]) -> frozenset[peers.Address]:
    try:
        return peers.named(trust)
    except ValueError as error:
        raise Exposed(f"--trust: {error}") from error


def _check_loopback(host: str, behind_proxy: bool) -> None:
    if host == "localhost" or peers.is_loopback(host):
        return
    if behind_proxy:
        raise Exposed(
            f"{host!r} would let other machines in past the proxy, in the open, and they could "
            "say of themselves what they like. Serve at 127.0.0.1, where the proxy is on this "
            "machine; where it is on another, name its address: --trust ADDRESS."
        )
    raise Exposed(
        f"{host!r} would let other machines in, and their tokens would cross the network in "
        "the open. Serve at 127.0.0.1, or behind a proxy with TLS: see --behind-proxy."
    )


def _shown(host: str) -> str:
    return f"[{host}]" if ":" in host else host


def _end_streams_on_stop(app: Flask) -> None:
    """On SIGTERM or Ctrl-C: whoever listens is no reason to go on."""

    def stop(*_signal: Any) -> None:
        app.extensions["cureyard"].streams.end_all()
        raise SystemExit(0)

    for each in (signal.SIGTERM, signal.SIGINT):
        signal.signal(each, stop)
