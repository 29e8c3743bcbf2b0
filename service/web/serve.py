"""Serve over HTTP until stopped."""

from __future__ import annotations

import ctypes
import errno
import gc
import logging
import signal
import sys
from collections.abc import Sequence
from contextlib import ExitStack, suppress
from typing import Any

import waitress
from flask import Flask

from ..acts.yard.recognising import any_made
from ..store.engine.database import db
from ..store.engine.locks import serving
from .app import create_app
from .context import exports, streams
from .context.settings import Clock, Settings, wall_clock
from .http import framing, peers, request_log
from .http.bodies import CSV_LIMIT
from .lan import addresses
from .lan.callers import INNER
from .lan.certificate import Unreadable
from .lan.network import Network

M_ARENA_MAX = -8
"""Its number in glibc's malloc.h."""
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
    lan: bool = False,
    address: str | None = None,
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
        lan: whether the yard's network is served too, over TLS with a certificate of its own.
        address: this machine's on that network, where it has several.
        log: whether each request is a line on stderr; wrong entrances and faults always are.

    Raises:
        Exposed: other machines could reach it without TLS, nobody has a token yet, which other
            machines need, or `trust` or `address` is no address.
        OSError: the port is in use.
        StoreUnusable: as `create_app`.
    """
    share_memory()
    trusted = _trusted(trust)
    if not (behind_proxy and trusted):
        _check_loopback(host, behind_proxy)
    at = _on_network(address, port) if lan else None
    app = create_app(settings, clock=clock, behind_proxy=behind_proxy, trusted=trusted, on_lan=lan)
    if (behind_proxy or lan) and not any_made():
        raise Exposed(
            "Nobody has a token, so no other machine could ask. Make the first one here: "
            "cureyard token add NAME --role admin"
        )
    request_log.set_up(every=log)
    request_log.add(app)
    logging.getLogger("waitress.queue").setLevel(logging.ERROR)  # it warns of each waiting request
    with serving(db), ExitStack() as opened:
        network = None if at is None else _network(app, at, port, settings, clock)
        server = _server(app, host, port, inner=network is not None)
        _end_streams_on_stop(app, network)
        *shown, inner = _listening(server)
        if network is None:
            shown = [*shown, inner]
        else:
            opened.enter_context(network.open(inner[1]))
        for each in _addresses(host, shown):
            print(f"Serving at {each}", file=sys.stderr)
        if network is not None:
            print(
                f"Serving the yard's network at {network.served.address}\n"
                f"SHA-256 fingerprint of its certificate: {network.served.fingerprint}",
                file=sys.stderr,
            )
        gc.freeze()  # what is imported stays, so the collector need not look through it each time
        server.run()


def share_memory() -> None:
    """Have all threads take memory from two pools, before any thread begins; glibc alone has more.

    By itself glibc gives each thread a pool of its own, which never gives back what the thread once
    needed (mallopt(3), M_ARENA_MAX): 14 threads held 40 MB more after 5,000 requests.
    """
    with suppress(OSError, AttributeError):
        ctypes.CDLL("libc.so.6").mallopt(M_ARENA_MAX, 2)


def _server(app: Flask, host: str, port: int, *, inner: bool) -> Any:
    """A server that listens; with `inner` also, last of all, at a port for the front alone."""
    listen = [f"{_shown(host)}:{port}", *([f"{INNER}:0"] if inner else [])]
    listening: dict[int, Any] = {}
    server = waitress.create_server(
        app,
        listen=" ".join(listen),
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
    return server


def _listening(server: Any) -> list[tuple[str, int]]:
    """Where a server listens: a name such as localhost may have two addresses."""
    one = getattr(server, "effective_port", None)
    found = server.effective_listen if one is None else [(server.effective_host, one)]
    return [(host, int(port)) for host, port in found]


def _addresses(host: str, listening: list[tuple[str, int]]) -> list[str]:
    """The addresses to open: as the host was named, where all of it has one port."""
    ports = {port for _, port in listening}
    named = [(host, port) for port in ports] if len(ports) == 1 else listening
    return [f"http://{_shown(each)}:{port}" for each, port in named]


def _on_network(address: str | None, port: int) -> str:
    """The address on the network; at a port of their own even this machine alone, for a trial."""
    try:
        at = addresses.chosen(address)
    except addresses.NoAddress as error:
        raise Exposed(str(error)) from error
    if port and peers.is_loopback(at):
        raise Exposed(
            f"No other machine reaches {at}, and this machine is served there already. Name this "
            "machine's address on the network, as its network settings show it."
        )
    return at


def _network(app: Flask, at: str, port: int, settings: Settings, clock: Clock) -> Network:
    try:
        return Network(app, at, port, settings.database, clock)
    except Unreadable as error:
        raise Exposed(str(error)) from error
    except OSError as error:
        if error.errno != errno.EADDRNOTAVAIL:
            raise
        raise Exposed(
            f"{at} is not an address of this machine. Name one with --address, as its network "
            "settings show it."
        ) from error


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
        "the open. Serve at 127.0.0.1, and the yard's network over TLS: --lan. Or put a proxy "
        "with TLS before it: --behind-proxy."
    )


def _shown(host: str) -> str:
    return f"[{host}]" if ":" in host else host


def _end_streams_on_stop(app: Flask, network: Network | None) -> None:
    """On SIGTERM or Ctrl-C end the open streams, so that they don't hold up the stop."""

    def stop(*_signal: Any) -> None:
        if network is not None:
            network.close()
        app.extensions["cureyard"].streams.end_all()
        raise SystemExit(0)

    for each in (signal.SIGTERM, signal.SIGINT):
        signal.signal(each, stop)
