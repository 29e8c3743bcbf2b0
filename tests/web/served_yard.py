"""The yard at the end of the worked story, served on a real socket, where all show a token."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from itertools import count
from typing import Any

from cureyard_service.acts import tokens
from cureyard_service.store.database import db
from cureyard_service.web.app import create_app
from cureyard_service.web.settings import Settings
from cureyard_service.web.worked import steps
from flask import Flask
from werkzeug.serving import WSGIRequestHandler, make_server

from ..engines import Engine
from .tokened import Known, given
from .worked import play

END = max(int(datetime.fromisoformat(step.at).timestamp()) for step in steps() if step.at)
"""The moment at which the story ends."""


class ServedYard:
    """A yard, for as long as somebody asks.

    Attributes:
        address: where it is served.
        document: its OpenAPI description.
    """

    def __init__(self, app: Flask, address: str) -> None:
        self.address = address
        self.document: dict[str, Any] = app.test_client().get("/openapi.json").json
        self._known: Known | None = None

    def token(self) -> str:
        """A token that is good, which a request before may have revoked."""
        if self._known is None or tokens.recognised(self._known.secret) is None:
            self._known = given("Ada", "admin")
        return self._known.secret


class Kept(WSGIRequestHandler):
    """Answers one request after the other on a connection, and so on one thread."""

    protocol_version = "HTTP/1.1"

    def log_request(self, *_about: Any) -> None:
        """Say nothing of each."""


@contextmanager
def served(engine: Engine) -> Iterator[ServedYard]:
    """The yard, on a store of its own."""
    with engine.copy(lived) as url:
        app = create_app(Settings(database=url), clock=lambda: END)
        app_ = from_anywhere(app)
        with make_server("127.0.0.1", 0, app_, threaded=True, request_handler=Kept) as server:
            thread = threading.Thread(target=server.serve_forever)
            thread.start()
            try:
                yield ServedYard(app, f"http://127.0.0.1:{server.port}")
            finally:
                server.shutdown()
                thread.join()
        db.close()


def lived(url: str) -> None:
    """Live the worked story through in a store."""
    for _ in play(url):
        pass


def from_anywhere(app: Flask) -> Any:
    """The service, to which each request seems to come from another machine.

    So it is not slowed down by the wrong tokens of those before it.
    """
    numbers = count(1)

    def answer(environ: dict[str, Any], start: Any) -> Any:
        number = next(numbers)
        environ["REMOTE_ADDR"] = f"10.{number >> 16 & 255}.{number >> 8 & 255}.{number & 255}"
        return app(environ, start)

    return answer
