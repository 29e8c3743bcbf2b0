"""The door: the service inside this process, over the same REST interface.

The one module of the client that imports the service, and it is imported only when no
server is set. The requests are those that a server would get; they just cross no network.
"""

from __future__ import annotations

import atexit
import io
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import asdict
from functools import lru_cache
from pathlib import Path
from typing import Any

import requests
from cureyard_service.core.errors import Busy, StoreFull
from cureyard_service.store.engine.database import db
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
from requests.adapters import BaseAdapter
from werkzeug.test import Client

from .exits import MISUSED, UNREACHED, Stopped
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
"""What the service inside this process is called; nothing listens there for it."""


class Door(BaseAdapter):
    """Carries a session's requests to a WSGI application in this process.

    Args:
        application: any WSGI application.
        keeper: whether whoever asks does so as the one who keeps the store.
    """

    def __init__(self, application: Any, *, keeper: bool = False) -> None:
        super().__init__()
        self._told = {"REMOTE_ADDR": "127.0.0.1", ON_THE_STORE: keeper}
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
            environ_overrides=self._told,
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


def open_door(settings: Settings, *, keeper: bool = False) -> Door:
    """A way to the store that the settings name, brought to this program's version.

    Args:
        keeper: whether it is for what only the one who keeps the store may do.

    Raises:
        Stopped: the settings or the store can't be used.
    """
    return Door(_application(service_settings(settings)), keeper=keeper)


def service_settings(settings: Settings) -> ServiceSettings:
    """The settings as the service takes them; what is not set here, the environment says.

    Raises:
        Stopped: a zone, units or a currency that there are not.
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


def serve(
    settings: Settings,
    host: str,
    port: int,
    *,
    behind_proxy: bool = False,
    trust: Sequence[str] = (),
) -> None:
    """Serve the store over HTTP until told to stop.

    Args:
        behind_proxy: whether a proxy with TLS passes requests on.
        trust: the proxy's addresses, where it is on another machine.

    Raises:
        Stopped: the address, the port or the store can't be used.
    """
    from cureyard_service.web.serve import Exposed
    from cureyard_service.web.serve import serve as serve_store

    with _explained():
        try:
            serve_store(
                host, port, service_settings(settings), behind_proxy=behind_proxy, trust=trust
            )
        except Exposed as error:
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
    from cureyard_service.store.upkeep import proofs

    with _explained():
        _open_store(settings)
        return [asdict(proof) for proof in proofs.prove(db)]


def back_up(settings: Settings, file: Path) -> dict[str, Any]:
    """Back up the store that the settings name, into a new file.

    Returns:
        The `file`, and what is in it: its `version`, `movements` and `findings`.

    Raises:
        Stopped: there is no store, or the file can't be made.
    """
    from cureyard_service.store.engine.database import sqlite_path
    from cureyard_service.store.upkeep.backup import back_up as make

    with _explained():
        path = sqlite_path(service_settings(settings).database)
        if path is not None and not path.exists():
            raise Stopped(f"There is no store at {path}.", "Set CUREYARD_DATABASE to it.")
        _open_store(settings)
        return {"file": str(file), **_books(make(db.obj, file.absolute()))}


def look_at_backup(settings: Settings, file: Path) -> dict[str, Any]:
    """Whom a backup would let in, if it were restored.

    Returns:
        `opens`, whether by itself it asks nobody for a token while the store that is there may;
        `tokens`, how many that store has, or None where it can't be read.

    Raises:
        Stopped: it can't be restored.
    """
    from cureyard_service.store.upkeep.restore import look

    close()
    with _explained():
        found = look(service_settings(settings).database, file.absolute())
    return {"opens": found.opens, "tokens": found.tokens}


def restore(
    settings: Settings, file: Path, who: str | None, *, carry: bool = True
) -> dict[str, Any]:
    """Put a backup in the place of the store that the settings name.

    Args:
        carry: whether the tokens of the store that is there count on.

    Returns:
        As `back_up`; `kept`, where the store that was there is now, or None; `backup_version`,
        which the backup was of; `carried`, the `tokens` and `revocations` that came along, or None
        where that store can't be read; and `has_tokens`, whether everybody shows one now.

    Raises:
        Stopped: it can't be restored; the store is as it was.
    """
    from cureyard_service.store.upkeep.restore import restore as put
    from cureyard_service.store.yard.hands import Hand
    from cureyard_service.web.context.settings import wall_clock

    close()
    told = service_settings(settings)
    hand = Hand(who or told.hand, verified=False)
    with _explained():
        done = put(told.database, file.absolute(), now=wall_clock(), hand=hand, carry=carry)
    return {
        "file": str(file),
        **_books(done.account),
        "kept": done.kept,
        "backup_version": done.version,
        "carried": done.carried and done.carried._asdict(),
        "has_tokens": done.has_tokens,
    }


def move_store(settings: Settings, to: str) -> dict[str, Any]:
    """Take the store that the settings name over to another address.

    Returns:
        `to`, and of the new store what `back_up` gives.

    Raises:
        Stopped: it can't be taken over; the store is as it was.
    """
    from cureyard_service.store.upkeep.transfer import move

    with _explained():
        open_door(settings)
        return {"to": to, **_books(move(db.obj, to))}


def _books(account: Any) -> dict[str, Any]:
    return {**asdict(account), "findings": list(account.findings)}


def _open_store(settings: Settings) -> None:
    """Open the store alone: what looks at damaged books asks nothing of the yard."""
    from cureyard_service.store.engine.database import open_store
    from cureyard_service.store.upkeep.migrate import migrate_forward

    close()
    migrate_forward(open_store(service_settings(settings).database))


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
        code = MISUSED if isinstance(unusable, NoBackup) else UNREACHED
        advice = " ".join(filter(None, (unusable.advice, _TO_TYPE.get(type(unusable)))))
        raise Stopped(unusable.detail, advice, code) from unusable
    except (Busy, StoreFull) as refusal:
        raise Stopped(refusal.detail, refusal.advice, UNREACHED) from refusal


@lru_cache(maxsize=1)  # a process has one store open at a time
def _application(settings: ServiceSettings) -> Any:
    if db.obj is not None:
        db.close()
    with _explained():
        return Parts(settings)


atexit.register(close)
