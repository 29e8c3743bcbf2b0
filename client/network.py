"""Sends requests to a server over the network, with retries."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from http import HTTPStatus
from importlib.metadata import version
from typing import BinaryIO

import requests
from requests.adapters import HTTPAdapter
from urllib3.exceptions import ProtocolError, ReadTimeoutError

from .exits import Unreached
from .replies import Reply
from .retries import retries

CONNECT_S, READ_S = 5.0, 30.0
"""Seconds to wait for a connection, and for an answer."""
PIECE = 64 * 1024
"""Bytes of a long answer that are read at a time."""


class Network:
    """A server's address.

    Args:
        url: the address, without `/v1`.
        timeouts: seconds to wait for (a connection, an answer).
        retried: whether a request without an answer is sent again.
    """

    def __init__(
        self, url: str, timeouts: tuple[float, float] = (CONNECT_S, READ_S), *, retried: bool = True
    ) -> None:
        self.url = url.rstrip("/")
        self.timeouts = timeouts
        self._session = requests.Session()
        self._session.auth = _as_it_is
        self._session.headers["User-Agent"] = f"cureyard/{version('cureyard')}"
        self._session.mount(self.url, HTTPAdapter(max_retries=retries() if retried else 0))

    def send(
        self,
        method: str,
        target: str,
        headers: Mapping[str, str],
        body: bytes | BinaryIO | None,
        time_factor: int = 1,
    ) -> Reply:
        """Send a request to a path with its query.

        Raises:
            Unreached: nothing answers.
        """
        connect, read = self.timeouts
        try:
            response = self._session.request(
                method,
                self.url + target,
                data=body,
                headers=headers,
                timeout=(connect, read * time_factor),
                allow_redirects=False,
            )
        except requests.RequestException as error:
            raise no_answer(method, self.url, error) from error
        return Reply(response.status_code, response.headers, response.content)

    @contextmanager
    def pieces(
        self, target: str, headers: Mapping[str, str], time_factor: int = 1
    ) -> Iterator[tuple[Reply, Iterable[bytes]]]:
        """Read something long: the reply, whose content is a refusal's alone, and the pieces.

        Raises:
            Unreached: nothing answers, or the pieces broke off.
        """
        connect, read = self.timeouts
        try:
            response = self._session.request(
                "GET",
                self.url + target,
                headers=headers,
                timeout=(connect, read * time_factor),
                allow_redirects=False,
                stream=True,
            )
        except requests.RequestException as error:
            raise no_answer("GET", self.url, error) from error
        with response:
            pieces = self._read(response)
            whole = response.status_code != HTTPStatus.OK
            content = b"".join(pieces) if whole else b""
            yield Reply(response.status_code, response.headers, content), pieces

    def _read(self, response: requests.Response) -> Iterator[bytes]:
        try:
            yield from response.iter_content(PIECE)
        except requests.RequestException as error:
            raise Unreached(f"{self.url} broke off in the middle.", "Try again.") from error

    def close(self) -> None:
        """Close the connection."""
        self._session.close()


def _as_it_is(request: requests.PreparedRequest) -> requests.PreparedRequest:
    """Keep a request as it is: without an `auth`, requests takes a token from a .netrc."""
    return request


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
