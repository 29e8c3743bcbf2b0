"""The service over HTTP: one session, and what its answers mean."""

from __future__ import annotations

import json
import secrets
from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import dataclass
from functools import cached_property
from importlib.metadata import version
from types import MappingProxyType
from typing import Any, BinaryIO
from urllib.parse import quote

import requests
from requests.adapters import BaseAdapter, HTTPAdapter
from urllib3.exceptions import ProtocolError, ReadTimeoutError

from .exits import UNREACHED, Refused, Stopped
from .patience import patience

CONNECT_S, READ_S = 5.0, 30.0
"""Seconds to wait for a connection, and for an answer."""

FILE_FACTOR = 20
"""How many times as long a logger's file may take, which can hold a year of readings."""

Body = Mapping[str, Any]

_JSON = {"Content-Type": "application/json"}


@dataclass(frozen=True)
class Answer:
    """What the service answered, just as it came, as text and as bytes; and what it says."""

    status: int
    text: str
    etag: str | None = None
    content: bytes = b""

    @cached_property
    def body(self) -> Any:
        """The answer's JSON.

        Raises: Stopped: it is none, whatever it says that it is.
        """
        try:
            return json.loads(self.text)
        except (ValueError, RecursionError) as error:
            raise Stopped(
                "What answers is not Cureyard.", "Mend CUREYARD_URL.", UNREACHED
            ) from error


def at(*parts: str | int) -> str:
    """The path of a record: `at("lots", 7, "trace")` is `/v1/lots/7/trace`.

    Raises:
        Stopped: a part that no record can be called.
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
        hand: who is at it, where there is no token.
        units: `us`, `metric`, or None for the yard's own.
        adapter: what carries requests; by default the network, with retries.
        timeouts: seconds for (connection, answer).
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
        self._session.mount(self.url, adapter or HTTPAdapter(max_retries=patience()))

    def get(self, path: str, **query: Any) -> Answer:
        """Read. Query names that are None are left out."""
        return self._send("GET", path, query)

    def post(self, path: str, body: Body) -> Answer:
        """Do something once, however often it has to be sent."""
        return self._send("POST", path, {}, _json(body), {**_JSON, **_key()})

    def post_for(self, path: str, body: Body, kind: str) -> str:
        """Ask with a body for an answer of another kind than JSON, such as a drawing."""
        accepted = {"Accept": f"{kind}, application/problem+json"}
        return self._send("POST", path, {}, _json(body), {**_JSON, **accepted}, kind=kind).text

    def put(self, path: str, body: Body) -> Answer:
        """Put something in the place of what was there, once, however often it has to be sent."""
        return self._send("PUT", path, {}, _json(body), {**_JSON, **_key()})

    def get_csv(self, path: str, **query: Any) -> str:
        """Read a table, as its text."""
        return self._send("GET", path, query, longer=FILE_FACTOR, kind="text/csv").text

    def get_file(self, path: str, kind: str, **query: Any) -> bytes:
        """Read a file of some media type, such as an image."""
        accepted = {"Accept": f"{kind}, application/problem+json"}
        return self._send("GET", path, query, headers=accepted, kind=kind).content

    def post_csv(self, path: str, table: bytes | BinaryIO, **query: Any) -> Answer:
        """Post a table as it is."""
        headers = {"Content-Type": "text/csv", **_key()}
        return self._send("POST", path, query, table, headers, longer=FILE_FACTOR)

    def patch(self, path: str, body: Body) -> Answer:
        """Change a record as it stands now, as long as nobody changes it meanwhile."""
        stands = {"If-Match": self.get(path).etag or "*"}
        return self._send("PATCH", path, {}, _json(body), {**_JSON, **stands})

    def close(self) -> None:
        """Let the connection go."""
        self._session.close()

    def _send(
        self,
        method: str,
        path: str,
        query: Mapping[str, Any],
        data: bytes | BinaryIO | None = None,
        headers: Mapping[str, str] = MappingProxyType({}),
        longer: int = 1,
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
                timeout=(connect, read * longer),
                allow_redirects=False,
            )
        except requests.RequestException as error:
            raise no_answer(method, self.url, error) from error
        return _judged(response, self.url, kind)


def no_answer(method: str, url: str, error: requests.RequestException) -> Stopped:
    """Words for an address that gave no answer; after a change was sent, what that may mean."""
    cause = error.args[0] if error.args else error
    cause = getattr(cause, "reason", cause)
    if isinstance(error, requests.exceptions.SSLError):
        return _not_trusted(url, cause)
    if isinstance(cause, (ReadTimeoutError, ProtocolError)):
        advice = "Try again."
        if method != "GET":
            advice = "It may have been done: look before doing it again."
        return Stopped(f"{url} broke off without an answer.", advice, UNREACHED)
    advice = "Start it there with 'cureyard serve', or mend or unset CUREYARD_URL."
    return Stopped(f"No server answers at {url}. Nothing was changed.", advice, UNREACHED)


def _not_trusted(url: str, cause: object) -> Stopped:
    """Words for a server whose certificate does not prove that it is the one that was meant."""
    fault = getattr(cause, "args", (cause,))[0]
    why = getattr(fault, "verify_message", None)
    if why is None:
        advice = "Mend CUREYARD_URL, or the server; look before doing it again."
        return Stopped(f"{url} does not speak TLS as it should.", advice, UNREACHED)
    return Stopped(
        f"The certificate of {url} is not trusted: {why}. Nothing was sent.",
        "Ask whoever runs it for the certificate that it is signed by, and name that file in "
        "REQUESTS_CA_BUNDLE; or mend CUREYARD_URL.",
        UNREACHED,
    )


def _judged(response: requests.Response, url: str, wanted: str) -> Answer:
    kind = response.headers.get("Content-Type", "").partition(";")[0].strip()
    response.encoding = "utf-8"
    if response.is_redirect:
        target = response.headers.get("Location", "another address")
        raise Stopped(f"{url} sends on to {target}.", "Set CUREYARD_URL to that.", UNREACHED)
    if response.status_code >= 400 and (problem := _problem(response, kind)) is not None:
        raise Refused(response.status_code, problem, response.text)
    if response.status_code >= 400 or kind != wanted:
        raise Stopped(f"{url} answers, but not as Cureyard.", "Mend CUREYARD_URL.", UNREACHED)
    etag = response.headers.get("ETag")
    return Answer(response.status_code, response.text, etag, response.content)


def _problem(response: requests.Response, kind: str) -> dict[str, Any] | None:
    """The problem document of a refusal; a proxy's plain fault is one without words."""
    if kind == "application/problem+json":
        with suppress(ValueError, RecursionError):
            told = response.json()
            return told if isinstance(told, dict) else None
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
    """Put the token on a request. Always set, so that a .netrc never answers in its place."""

    def sign(request: requests.PreparedRequest) -> requests.PreparedRequest:
        if token:
            request.headers["Authorization"] = f"Bearer {token}"
        return request

    return sign
