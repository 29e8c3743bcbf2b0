"""A service in a process of its own: the real one or a bare one, asked by pipe or over HTTP.

    python -m tests.bench.host (cureyard|bare|same) STORE (pipe|http)

By pipe requests are answered inside the process, one JSON line each, with the seconds that it took;
over HTTP they are served by waitress as `cureyard serve` does.
"""

from __future__ import annotations

import gc
import json
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

import waitress
from cureyard_service.store.engine.database import db
from cureyard_service.web.app import create_app
from cureyard_service.web.context.settings import Settings
from cureyard_service.web.serve import THREADS
from werkzeug.test import Client

from ..acts.sample_yard import NOW
from . import bare, same

LOOPBACK = {"REMOTE_ADDR": "127.0.0.1"}


def main(kind: str, store: str, way: str) -> None:
    """Bring a service up on a store, and answer until told to stop."""
    app = KINDS[kind](store)
    gc.freeze()  # as `serve` does
    if way == "pipe":
        _answer(Client(app, use_cookies=False))
    else:
        server: Any = waitress.create_server(app, host="127.0.0.1", port=0, threads=THREADS)
        print(server.effective_port, flush=True)
        server.run()


def real(store: str) -> Any:
    """The real service, at the moment that the invented yard is in."""
    return create_app(Settings(database=store, zone="UTC", hand="Ines"), clock=lambda: NOW)


KINDS: dict[str, Callable[[str], Any]] = {
    "cureyard": real,
    "bare": lambda store: bare.create_app(store, NOW),
    "same": same.create_app,
}


def _answer(client: Client) -> None:
    print("ready", flush=True)
    for line in sys.stdin:
        asked = json.loads(line)
        print(json.dumps([_once(client, **one) for one in asked]), flush=True)


def _once(
    client: Client, method: str, path: str, body: str | None, headers: dict[str, str], traced: bool
) -> dict[str, Any]:
    with _traced() if traced else _untraced() as statements:
        began = time.perf_counter()
        answer = client.open(
            path, base_url="http://localhost", method=method, data=body, headers=headers,
            environ_overrides=LOOPBACK,
        )  # fmt: skip
        text = answer.get_data(as_text=True)
        took = time.perf_counter() - began
    return {"took": took, "status": answer.status_code, "text": text, "sql": statements}


@contextmanager
def _traced() -> Iterator[list[str]]:
    """What a request asks of SQLite, with its values in place."""
    statements: list[str] = []
    connection = db.connection()
    connection.set_trace_callback(statements.append)
    yield statements
    connection.set_trace_callback(None)


@contextmanager
def _untraced() -> Iterator[list[str]]:
    yield []


if __name__ == "__main__":
    main(*sys.argv[1:])
