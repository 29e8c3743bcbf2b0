"""Serve over HTTP until stopped."""

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
from .context import exports, streams
from .context.settings import Clock, Settings, wall_clock
from .http import framing, peers, request_log
from .http.bodies import CSV_LIMIT

THREADS = 8 + streams.MOST + exports.MOST
"""Eight for work, and one for each open stream and each table that is being made."""
CONNECTIONS = 500
"""Open at once. One client that opens many and sends nothing could fill the library's hundred."""
SILENT_S = 30
"""A connection that sends nothing for so long is closed, unless it is being answered."""
SWEEP_S = 10
"""How often such connections are looked for."""


class Exposed(ValueError):
    """Served so, secrets would cross the network in the open, or anybody could get in."""


def serve(
    host: str,
    port: int,
    settings: Settings,
    *,
    clock: Clock = wall_clock,
    behind_proxy: bool = False,
    trust: Sequence[str] = (),
    log: bool = False,
) -> None:
    """Bring the store to this program's version and serve it; returns after SIGTERM or Ctrl-C.

    Requests that are being answered are finished first.

    Args:
        host: the name or address to listen at: this machine's own, unless a proxy is trusted.
        port: 0 takes any free one; the address is printed on stderr.
        behind_proxy: whether a proxy with TLS faces the network, and passes requests on with
            X-Forwarded-For, -Proto and -Host, which it sets itself.
        trust: that proxy's addresses, if it is on another machine.
        log: whether each request is a line on stderr; wrong entrances and faults always are.

    Raises:
        Exposed: other machines could reach it without TLS, nobody has a token yet, which a
            proxy needs, or `trust` is no address.
        OSError: the port is in use.
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
    request_log.set_up(every=log)
    request_log.add(app)
    logging.getLogger("waitress.queue").setLevel(logging.ERROR)  # it warns of each waiting request
    listening: dict[int, Any] = {}
    with serving(db):
        server: Any = waitress.create_server(
            app,
            host=host,
            port=port,
            threads=THREADS,
            max_request_body_size=2 * CSV_LIMIT,
            asyncore_use_poll=True,
            connection_limit=CONNECTIONS,
            channel_timeout=SILENT_S,
            cleanup_interval=SWEEP_S,
            channel_request_lookahead=1,  # tells a stream that nobody listens any more
            clear_untrusted_proxy_headers=False,  # `guards` must see an unannounced proxy
            map=listening,
        )
        framing.keep_strict(listening)
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
    """On SIGTERM or Ctrl-C end the open streams, so that they don't hold up the stop."""

    def stop(*_signal: Any) -> None:
        app.extensions["cureyard"].streams.end_all()
        raise SystemExit(0)

    for each in (signal.SIGTERM, signal.SIGINT):
        signal.signal(each, stop)
