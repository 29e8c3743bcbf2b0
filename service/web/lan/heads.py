"""The head of a request (RFC 9112), read just far enough to know how long its body is.

What could be read in two ways is refused, so that the server behind reads the same request.
"""

from __future__ import annotations

import re
from http import HTTPStatus

from ...core.frozen import frozen

END = b"\r\n\r\n"
_LINE = re.compile(rb"[!#$%&'*+.^_`|~0-9A-Za-z-]+:[^\x00\r\n]*")
_FIRST = re.compile(rb"[A-Z]{1,16} [\x21-\x7e\x80-\xff]+ HTTP/1\.[01]")
_LENGTH = re.compile(r"\d{1,15}", re.ASCII)
_LEFT_OUT = (b"content-length", b"connection", b"expect")


class Bad(Exception):
    """A request that is not passed on.

    Args:
        status: what it is answered.
        words: what was wrong, and what to do.
    """

    def __init__(self, status: HTTPStatus, words: str) -> None:
        super().__init__(words)
        self.status, self.words = status, words

    def answer(self) -> bytes:
        """The whole answer, after which the connection ends."""
        body = f"{self.words} Nothing was changed.\n".encode()
        return (
            f"HTTP/1.1 {self.status.value} {self.status.phrase}\r\n"
            "Content-Type: text/plain; charset=utf-8\r\n"
            f"Content-Length: {len(body)}\r\nCache-Control: no-store\r\nConnection: close\r\n\r\n"
        ).encode() + body


@frozen
class Head:
    """A request's head.

    Attributes:
        raw: as it came.
        length: bytes of the body that follows.
        authorization, cookies: what shows who asks; empty without it.
    """

    raw: bytes
    length: int
    authorization: str
    cookies: str

    def without_body(self) -> bytes:
        """The head of the same request with an empty body, on a connection that ends after it."""
        lines = self.raw.removesuffix(END).split(b"\r\n")
        kept = [each for each in lines if each.partition(b":")[0].lower() not in _LEFT_OUT]
        return b"\r\n".join([*kept, b"Content-Length: 0", b"Connection: close"]) + END


def read(raw: bytes) -> Head:
    """Read a head.

    Args:
        raw: up to and with the empty line.

    Raises:
        Bad: it is broken, its length is not clear, or it does not say it.
    """
    first, *lines = raw.removesuffix(END).split(b"\r\n")
    if _FIRST.fullmatch(first) is None or not all(map(_LINE.fullmatch, lines)):
        raise Bad(HTTPStatus.BAD_REQUEST, "The head of the request is broken.")
    named: dict[bytes, list[str]] = {}
    for line in lines:
        name, _, value = line.partition(b":")
        named.setdefault(name.lower(), []).append(value.decode("latin-1").strip(" \t"))
    return Head(
        raw,
        _length(named.get(b"content-length", []), chunked=b"transfer-encoding" in named),
        authorization=named.get(b"authorization", [""])[0],
        cookies="; ".join(named.get(b"cookie", [])),
    )


def _length(said: list[str], *, chunked: bool) -> int:
    if chunked:
        raise Bad(HTTPStatus.LENGTH_REQUIRED, "Say the length of the body in Content-Length.")
    if not said:
        return 0
    if len(said) > 1 or _LENGTH.fullmatch(said[0]) is None:
        raise Bad(HTTPStatus.BAD_REQUEST, "Content-Length is not one number.")
    return int(said[0])
