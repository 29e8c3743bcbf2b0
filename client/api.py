"""The service: its requests and its answers, over the network or in this process."""

from __future__ import annotations

import json
import secrets
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from functools import cached_property
from types import MappingProxyType
from typing import Any, BinaryIO, TypeAlias
from urllib.parse import quote, urlencode

from .answers import Record
from .exits import Stopped, Unreached, refusal
from .replies import Reply, Transport

FILE_FACTOR = 20
"""A table may take this many times as long: a logger's file can hold a year of readings."""

Body: TypeAlias = Mapping[str, Any]
"""The JSON object of a request."""

_JSON = {"Content-Type": "application/json"}
NOT_MODIFIED = 304
_SENT_ON = (301, 302, 303, 307, 308)


@dataclass(frozen=True)
class Answer:
    """An answer of the service, as it came: as text and as bytes."""

    status: int
    text: str
    etag: str | None = None
    content: bytes = b""

    @cached_property
    def body(self) -> Record:
        """The answer's JSON.

        Raises:
            Stopped: the answer is no JSON object, although its header says so.
        """
        with suppress(ValueError, RecursionError):
            body = json.loads(self.text)
            if isinstance(body, dict):
                return body
        raise Unreached("What answers is not Cureyard.", "Mend CUREYARD_URL.")


def at(*parts: str | int) -> str:
    """The path of a record: `at("lots", 7, "trace")` is `/v1/lots/7/trace`.

    Raises:
        Stopped: a part is empty or only dots, which no record is called.
    """
    for part in map(str, parts):
        if not part.strip("."):
            raise Stopped(f"{part!r} is no code or number.", "Codes begin with a letter or digit.")
    return "/v1/" + "/".join(quote(str(part), safe="") for part in parts)


class Api:
    """The service at an address.

    Args:
        url: the address, without `/v1`.
        token: a bearer token, or None.
        hand: the name that is recorded where there is no token.
        units: `us`, `metric`, or None for the yard's own.
        transport: sends the requests; by default over the network, with retries.
    """

    def __init__(
        self,
        url: str,
        *,
        token: str | None = None,
        hand: str | None = None,
        units: str | None = None,
        transport: Transport | None = None,
    ) -> None:
        self.url = url.rstrip("/")
        self.units = units
        self._headers = _headers(token, hand)
        self._transport = transport or _network(self.url)

    def get(self, path: str, **query: Any) -> Answer:
        """Read a record or a list. Query fields that are None are left out."""
        return self._send("GET", path, query)

    def get_anew(self, path: str, kept: str | None) -> Answer:
        """Read a record of which an answer is kept; only the status where that still holds.

        Args:
            kept: the ETag of that answer, or None.
        """
        return self._send("GET", path, {}, headers={} if kept is None else {"If-None-Match": kept})

    def post(self, path: str, body: Body, *, key: str | None = None) -> Answer:
        """Do something once, however often the request is sent.

        Args:
            key: names the request, for one that may be made again later.
        """
        return self._send("POST", path, {}, _json(body), {**_JSON, **_key(key)})

    def post_for(self, path: str, body: Body, kind: str) -> str:
        """Send a body, and get an answer of another media type than JSON, such as a drawing."""
        accepted = {"Accept": f"{kind}, application/problem+json"}
        return self._send("POST", path, {}, _json(body), {**_JSON, **accepted}, kind=kind).text

    def put(self, path: str, body: Body) -> Answer:
        """Replace a record once, however often the request is sent."""
        return self._send("PUT", path, {}, _json(body), {**_JSON, **_key()})

    @contextmanager
    def get_csv(self, path: str, **query: Any) -> Iterator[Iterable[bytes]]:
        """Read a table as CSV text in UTF-8, in pieces: it may be longer than memory.

        Raises:
            Unreached: nothing answers, or the table broke off.
        """
        target = self._target(path, query)
        with self._transport.pieces(target, self._headers, FILE_FACTOR) as (reply, pieces):
            _checked(reply, self.url, "text/csv")
            yield pieces

    def get_file(self, path: str, kind: str, **query: Any) -> bytes:
        """Read a file of a media type, such as an image."""
        accepted = {"Accept": f"{kind}, application/problem+json"}
        return self._send("GET", path, query, headers=accepted, kind=kind).content

    def post_csv(self, path: str, table: bytes | BinaryIO, **query: Any) -> Answer:
        """Send a table in CSV as it is."""
        headers = {"Content-Type": "text/csv", **_key()}
        return self._send("POST", path, query, table, headers, time_factor=FILE_FACTOR)

    def post_file(self, path: str, content: bytes, kind: str, **query: Any) -> Answer:
        """Send a file of a media type, such as an image, once."""
        headers = {"Content-Type": kind, **_key()}
        return self._send("POST", path, query, content, headers, time_factor=FILE_FACTOR)

    def patch(self, path: str, body: Body) -> Answer:
        """Change a record, unless somebody else changes it at the same time."""
        unchanged = {"If-Match": self.get(path).etag or "*"}
        return self._send("PATCH", path, {}, _json(body), {**_JSON, **unchanged})

    def close(self) -> None:
        """Close the connection."""
        self._transport.close()

    def _send(
        self,
        method: str,
        path: str,
        query: Mapping[str, Any],
        data: bytes | BinaryIO | None = None,
        headers: Mapping[str, str] = MappingProxyType({}),
        time_factor: int = 1,
        kind: str = "application/json",
    ) -> Answer:
        sent = {**self._headers, **headers}
        target = self._target(path, query)
        reply = self._transport.send(method, target, sent, data, time_factor)
        return _checked(reply, self.url, kind)

    def _target(self, path: str, query: Mapping[str, Any]) -> str:
        given = {name: v for name, v in {"units": self.units, **query}.items() if v is not None}
        return f"{path}?{urlencode(given, doseq=True)}" if given else path


def _network(url: str) -> Transport:
    from .network import Network  # late: the service in this process needs no library for it

    return Network(url)


def _checked(reply: Reply, url: str, wanted: str) -> Answer:
    """The answer, if it is of the media type that was asked for; else the error."""
    kind = (reply.headers.get("Content-Type") or "").partition(";")[0].strip()
    text = reply.content.decode(errors="replace")
    if reply.status in _SENT_ON and (target := reply.headers.get("Location")) is not None:
        raise Unreached(f"{url} sends on to {target}.", "Set CUREYARD_URL to that.")
    if reply.status >= 400 and (problem := _problem(reply.status, kind, text)) is not None:
        raise refusal(reply.status, problem, text)
    if reply.status == NOT_MODIFIED:
        return Answer(reply.status, "", reply.headers.get("ETag"))
    if reply.status >= 400 or kind != wanted:
        raise Unreached(f"{url} answers, but not as Cureyard.", "Mend CUREYARD_URL.")
    return Answer(reply.status, text, reply.headers.get("ETag"), reply.content)


def _problem(status: int, kind: str, text: str) -> Record | None:
    """The problem document of a refusal; an empty one where a proxy failed without words."""
    if kind == "application/problem+json":
        with suppress(ValueError, RecursionError):
            problem = json.loads(text)
            return problem if isinstance(problem, dict) else None
    return {} if status >= 500 else None


def _key(key: str | None = None) -> dict[str, str]:
    return {"Idempotency-Key": key or secrets.token_hex(16)}


def _json(body: Body) -> bytes:
    return json.dumps(body, ensure_ascii=False, allow_nan=False).encode()


def _headers(token: str | None, hand: str | None) -> dict[str, str]:
    headers = {"Accept": "application/json, application/problem+json"}
    if token:
        headers["Authorization"] = f"Bearer {token}"
    if hand:
        headers["Cureyard-Hand"] = quote(hand, safe=" ", errors="replace")
    return headers
