"""The door: the service inside this process, over the same REST interface.

The one module of the client that imports the service, and it is imported only when no
server is set. The requests are those that a server would get; they just cross no network.
"""

from __future__ import annotations

import atexit
import io
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import asdict
from functools import lru_cache
from typing import Any

import requests
from cureyard_service.store.database import db
from cureyard_service.store.faults import StoreUnusable
from cureyard_service.web.app import create_app
from cureyard_service.web.settings import Settings as ServiceSettings
from requests.adapters import BaseAdapter
from werkzeug.test import Client

from .exits import UNREACHED, Stopped
from .settings import Settings

HERE = "http://localhost"
"""What the service inside this process is called; nothing listens there for it."""


class Door(BaseAdapter):
    """Carries a session's requests to a WSGI application in this process.

    Args:
        application: any WSGI application.
    """

    def __init__(self, application: Any) -> None:
        super().__init__()
        self._client = Client(application, use_cookies=False)

    def send(
        self, request: requests.PreparedRequest, *args: Any, **kwargs: Any
    ) -> requests.Response:
        """Have a request answered."""
        answered = self._client.open(
            request.path_url,
            base_url=HERE,
            method=request.method,
            headers=dict(request.headers),
            data=request.body,
            environ_overrides={"REMOTE_ADDR": "127.0.0.1"},
        )
        response = requests.Response()
        response.request = request
        response.url = request.url or HERE
        response.status_code = answered.status_code
        response.headers.update(answered.headers)
        response.raw = io.BytesIO(answered.data)
        return response

    def close(self) -> None:
        """Nothing is held open for it."""


def open_door(settings: Settings) -> Door:
    """A way to the store that the settings name, brought to this program's version.

    Raises:
        Stopped: the settings or the store can't be used.
    """
    return Door(_application(service_settings(settings)))


def service_settings(settings: Settings) -> ServiceSettings:
    """The settings as the service takes them; what is not set here, the environment says.

    Raises:
        Stopped: a zone or units that there are not.
    """
    try:
        return ServiceSettings.load(
            database=settings.database, zone=settings.zone, units=settings.units
        )
    except ValueError as error:
        raise Stopped(str(error)) from error


def serve(settings: Settings, host: str, port: int) -> None:
    """Serve the store over HTTP until told to stop.

    Raises:
        Stopped: the address, the port or the store can't be used.
    """
    from cureyard_service.web.serve import NotLoopback
    from cureyard_service.web.serve import serve as serve_store

    with _explained():
        try:
            serve_store(host, port, service_settings(settings))
        except NotLoopback as error:
            raise Stopped(str(error)) from error
        except OSError as error:
            advice = "Take another with --port, or end what uses it."
            raise Stopped(f"{host}:{port} can't be served: {error}.", advice, UNREACHED) from error


def prove(settings: Settings) -> list[dict[str, Any]]:
    """Prove the books of the store that the settings name.

    Returns:
        For each proof its `name`, whether it is `ok`, and its `findings`, one a sentence.

    Raises:
        Stopped: the store can't be used.
    """
    from cureyard_service.store import proofs

    with _explained():
        open_door(settings)
        return [asdict(proof) for proof in proofs.prove(db)]


def close() -> None:
    """Let the store of this process go."""
    _application.cache_clear()
    if db.obj is not None:
        db.close()


@contextmanager
def _explained() -> Iterator[None]:
    try:
        yield
    except StoreUnusable as unusable:
        raise Stopped(unusable.detail, unusable.advice, UNREACHED) from unusable


@lru_cache(maxsize=1)  # a process has one store open at a time
def _application(settings: ServiceSettings) -> Any:
    if db.obj is not None:
        db.close()
    with _explained():
        return create_app(settings)


atexit.register(close)
