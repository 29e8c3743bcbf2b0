"""The service over HTTP: one session, its requests and its answers."""

from __future__ import annotations

import json
import secrets
from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import dataclass
from functools import cached_property
from importlib.metadata import version
from types import MappingProxyType
from typing import Any, BinaryIO, TypeAlias
from urllib.parse import quote

import requests
from requests.adapters import BaseAdapter, HTTPAdapter
from urllib3.exceptions import ProtocolError, ReadTimeoutError

from .answers import Record
from .exits import Stopped, Unreached, refusal
from .retries import retries

CONNECT_S, READ_S = 5.0, 30.0
"""Seconds to wait for a connection, and for an answer."""

FILE_FACTOR = 20
"""A table may take this many times as long: a logger's file can hold a year of readings."""

Body: TypeAlias = Mapping[str, Any]
"""The JSON object of a request."""

_JSON = {"Content-Type": "application/json"}


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
        adapter: sends the requests; by default over the network, with retries.
        timeouts: seconds to wait for (a connection, an answer).
    """

    def __init__(
        self,
        url: str,
        *,
        token: str | None = None,
        hand: str | None = None,
        units: str | None = None,
        adapter: BaseAdapter | None = None,
        timeouts: tuple[float, float] = (CONNECT_S, READ_S),
    ) -> None:
        self.url = url.rstrip("/")
        self.units = units
        self.timeouts = timeouts
        self._session = requests.Session()
        self._session.auth = _bearer(token)
        self._session.headers.update(_headers(hand))
        self._session.mount(self.url, adapter or HTTPAdapter(max_retries=retries()))

    def get(self, path: str, **query: Any) -> Answer:
        """Read a record or a list. Query fields that are None are left out."""
        return self._send("GET", path, query)

    def post(self, path: str, body: Body) -> Answer:
        """Do something once, however often the request is sent."""
        return self._send("POST", path, {}, _json(body), {**_JSON, **_key()})

    def post_for(self, path: str, body: Body, kind: str) -> str:
        """Send a body, and get an answer of another media type than JSON, such as a drawing."""
        accepted = {"Accept": f"{kind}, application/problem+json"}
        return self._send("POST", path, {}, _json(body), {**_JSON, **accepted}, kind=kind).text

    def put(self, path: str, body: Body) -> Answer:
        """Replace a record once, however often the request is sent."""
        return self._send("PUT", path, {}, _json(body), {**_JSON, **_key()})

    def get_csv(self, path: str, **query: Any) -> str:
        """Read a table as CSV text."""
        return self._send("GET", path, query, time_factor=FILE_FACTOR, kind="text/csv").text

    def get_file(self, path: str, kind: str, **query: Any) -> bytes:
        """Read a file of a media type, such as an image."""
        accepted = {"Accept": f"{kind}, application/problem+json"}
        return self._send("GET", path, query, headers=accepted, kind=kind).content

    def post_csv(self, path: str, table: bytes | BinaryIO, **query: Any) -> Answer:
        """Send a table in CSV as it is."""
        headers = {"Content-Type": "text/csv", **_key()}
        return self._send("POST", path, query, table, headers, time_factor=FILE_FACTOR)

    def patch(self, path: str, body: Body) -> Answer:
        """Change a record, unless somebody else changes it at the same time."""
        unchanged = {"If-Match": self.get(path).etag or "*"}
        return self._send("PATCH", path, {}, _json(body), {**_JSON, **unchanged})

    def close(self) -> None:
        """Close the connection."""
        self._session.close()

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
        connect, read = self.timeouts
        try:
            response = self._session.request(
                method,
                self.url + path,
                params={"units": self.units, **query},
                data=data,
                headers=headers,
                timeout=(connect, read * time_factor),
                allow_redirects=False,
            )
        except requests.RequestException as error:
            raise no_answer(method, self.url, error) from error
        return _checked(response, self.url, kind)


def no_answer(method: str, url: str, error: requests.RequestException) -> Unreached:
    """The error for an address without an answer; after a change, that it may have been done."""
    cause = error.args[0] if error.args else error
    cause = getattr(cause, "reason", cause)
    if isinstance(error, requests.exceptions.SSLError):
        return _not_trusted(url, cause)
    if isinstance(cause, (ReadTimeoutError, ProtocolError)):
        advice = "Try again."
        if method != "GET":
            advice = "It may have been done: look before doing it again."
        return Unreached(f"{url} broke off without an answer.", advice)
    advice = "Start it there with 'cureyard serve', or mend or unset CUREYARD_URL."
    return Unreached(f"No server answers at {url}. Nothing was changed.", advice)


def _not_trusted(url: str, cause: object) -> Unreached:
    """The error for a server whose certificate does not prove who it is."""
    fault = getattr(cause, "args", (cause,))[0]
    why = getattr(fault, "verify_message", None)
    if why is None:
        advice = "Mend CUREYARD_URL, or the server; look before doing it again."
        return Unreached(f"{url} does not speak TLS as it should.", advice)
    return Unreached(
        f"The certificate of {url} is not trusted: {why}. Nothing was sent.",
        "Ask whoever runs the server for the certificate that signed it, and name that file in "
        "REQUESTS_CA_BUNDLE; or mend CUREYARD_URL.",
    )


def _checked(response: requests.Response, url: str, wanted: str) -> Answer:
    """The answer, if it is of the media type that was asked for; else the error."""
    kind = response.headers.get("Content-Type", "").partition(";")[0].strip()
    response.encoding = "utf-8"
    if response.is_redirect:
        target = response.headers.get("Location", "another address")
        raise Unreached(f"{url} sends on to {target}.", "Set CUREYARD_URL to that.")
    if response.status_code >= 400 and (problem := _problem(response, kind)) is not None:
        raise refusal(response.status_code, problem, response.text)
    if response.status_code >= 400 or kind != wanted:
        raise Unreached(f"{url} answers, but not as Cureyard.", "Mend CUREYARD_URL.")
    etag = response.headers.get("ETag")
    return Answer(response.status_code, response.text, etag, response.content)


def _problem(response: requests.Response, kind: str) -> Record | None:
    """The problem document of a refusal; an empty one where a proxy failed without words."""
    if kind == "application/problem+json":
        with suppress(ValueError, RecursionError):
            problem = response.json()
            return problem if isinstance(problem, dict) else None
    return {} if response.status_code >= 500 else None


def _key() -> dict[str, str]:
    return {"Idempotency-Key": secrets.token_hex(16)}


def _json(body: Body) -> bytes:
    return json.dumps(body, ensure_ascii=False, allow_nan=False).encode()


def _headers(hand: str | None) -> dict[str, str]:
    headers = {
        "Accept": "application/json, application/problem+json",
        "User-Agent": f"cureyard/{version('cureyard')}",
    }
    if hand:
        headers["Cureyard-Hand"] = quote(hand, safe=" ", errors="replace")
    return headers


def _bearer(token: str | None) -> Callable[[requests.PreparedRequest], requests.PreparedRequest]:
    """Put the token on a request. Always set, so that requests never takes one from a .netrc."""

    def sign(request: requests.PreparedRequest) -> requests.PreparedRequest:
        if token:
            request.headers["Authorization"] = f"Bearer {token}"
        return request

    return sign
