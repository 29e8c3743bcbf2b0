"""The service inside this process: the same REST interface, without a network.

Imported only when no server is set. A request is the one that a server would get.
"""

from __future__ import annotations

import atexit
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from functools import lru_cache
from http import HTTPStatus
from typing import Any, BinaryIO

from cureyard_service.core.errors import Busy, StoreFull
from cureyard_service.core.words import shown
from cureyard_service.store.engine.database import db, sqlite_path
from cureyard_service.store.engine.faults import (
    FileInUse,
    NoAnswer,
    NoBackup,
    OtherEngine,
    RowsAstray,
    StoreUnusable,
    TokensDamaged,
)
from cureyard_service.web.context.people import ON_THE_STORE
from cureyard_service.web.context.settings import Settings as ServiceSettings
from cureyard_service.web.parts import Parts
from werkzeug.test import Client

from .exits import Stopped, Unreached
from .replies import Reply
from .settings import Settings

_TO_TYPE: dict[type[StoreUnusable], str] = {
    FileInUse: "Make it with 'cureyard backup'.",
    NoAnswer: "The address is in CUREYARD_DATABASE.",
    OtherEngine: "Take it over with 'cureyard move-store'.",
    RowsAstray: "Check them with 'cureyard prove'.",
    TokensDamaged: "Add --without-tokens.",
}
"""What to type where the store can't be used for such a reason."""

HERE = "http://localhost"
"""The address of the service inside this process; nothing listens there."""


class InProcess:
    """Sends requests to a WSGI application in this process.

    Args:
        application: any WSGI application.
        keeper: whether the person who asks keeps the store, and so needs no token.
    """

    def __init__(self, application: Any, *, keeper: bool = False) -> None:
        self._environment = {"REMOTE_ADDR": "127.0.0.1", ON_THE_STORE: keeper}
        self._client = Client(application, use_cookies=False)

    def send(
        self,
        method: str,
        target: str,
        headers: Mapping[str, str],
        body: bytes | BinaryIO | None,
        time_factor: int = 1,
    ) -> Reply:
        """Send a request to a path with its query."""
        answered = self._client.open(
            target,
            base_url=HERE,
            method=method,
            headers=dict(headers),
            data=body if body is None or isinstance(body, bytes) else body.read(),
            environ_overrides=self._environment,
        )
        return Reply(answered.status_code, answered.headers, answered.data)

    @contextmanager
    def pieces(
        self, target: str, headers: Mapping[str, str], time_factor: int = 1
    ) -> Iterator[tuple[Reply, Iterable[bytes]]]:
        """Read something long: the reply, whose content is a refusal's alone, and the pieces."""
        with (
            explained(),
            self._client.open(
                target, base_url=HERE, headers=dict(headers), environ_overrides=self._environment
            ) as answered,
        ):
            whole = answered.status_code != HTTPStatus.OK
            content = answered.data if whole else b""
            reply = Reply(answered.status_code, answered.headers, content)
            yield reply, () if whole else answered.iter_encoded()

    def close(self) -> None:
        """Nothing to close."""


def open_service(settings: Settings, *, keeper: bool = False) -> InProcess:
    """Open the service on the store that the settings name, at this program's version.

    Args:
        keeper: whether the requests are those that only the person who keeps the store may make.

    Raises:
        Stopped: the settings or the store can't be used.
    """
    return InProcess(_application(service_settings(settings)), keeper=keeper)


def service_settings(settings: Settings) -> ServiceSettings:
    """The settings as the service takes them; the environment gives those that are not set.

    Raises:
        Stopped: the zone, the units or the currency does not exist.
    """
    try:
        return ServiceSettings.load(
            database=settings.database,
            zone=settings.zone,
            units=settings.units,
            currency=settings.currency,
        )
    except ValueError as error:
        raise Stopped(str(error)) from error


def has_store(settings: Settings) -> bool:
    """Whether the store that the settings name exists; a PostgreSQL one is taken to."""
    with explained():
        path = sqlite_path(service_settings(settings).database)
    return path is None or path.exists()


def close() -> None:
    """Close the store of this process."""
    _application.cache_clear()
    if db.obj is not None:
        db.close()


@contextmanager
def explained() -> Iterator[None]:
    """Turn the store's own errors into those that end a command."""
    try:
        yield
    except StoreUnusable as error:
        advice = " ".join(filter(None, (error.advice, _TO_TYPE.get(type(error)))))
        kind = Stopped if isinstance(error, NoBackup) else Unreached
        raise kind(error.detail, advice) from error
    except (Busy, StoreFull) as error:
        said = (shown(text, "metric") for text in (error.detail, error.advice))
        raise Unreached(*said) from error


@lru_cache(maxsize=1)  # a process has one store open at a time
def _application(settings: ServiceSettings) -> Any:
    if db.obj is not None:
        db.close()
    with explained():
        return Parts(settings)


atexit.register(close)
