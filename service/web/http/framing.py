"""What the server's library does not see to at a connection: two lengths, and an unread answer.

Requests whose length is told in two ways are refused, and their connection closed.

RFC 9112, 6.1 ('Transfer-Encoding'): a request with Content-Length and Transfer-Encoding may be an
attempt to smuggle another one past a proxy that goes by the other header. A server may reject it,
and has to close the connection after its answer; so has it where HTTP/1.0 names a coding. The
server's library reads such a request and leaves the connection open.
"""

from __future__ import annotations

import time
from typing import Any

from waitress.channel import HTTPChannel
from waitress.parser import HTTPRequestParser, ParsingError
from waitress.server import BaseWSGIServer


class OneLength(HTTPRequestParser):  # type: ignore[misc]  # the library has no types
    """Reads a request's head, and refuses two lengths."""

    def parse_header(self, header_plus: bytes) -> None:
        """Read the head.

        Raises: ParsingError: it names two lengths; the library answers 400, and closes.
        """
        super().parse_header(header_plus)
        lengths: dict[str, Any] = self.headers
        both = self.chunked and "CONTENT_LENGTH" in lengths
        if both or "TRANSFER_ENCODING" in lengths:  # which it leaves there for HTTP/1.0 alone
            raise ParsingError("Send Content-Length or, in HTTP/1.1, Transfer-Encoding: not both.")


class Channel(HTTPChannel):  # type: ignore[misc]
    """A connection that reads such heads, and ends when nobody reads its answer.

    A thread that makes a long answer waits where too much of it is unread; the library times out
    only connections that no thread answers.
    """

    parser_class = OneLength

    def writable(self) -> bool:
        """Whether to write; the server asks each connection so every second."""
        waits = self.total_outbufs_len > self.adj.outbuf_high_watermark
        if waits and time.time() - self.last_activity > self.adj.channel_timeout:
            self.handle_close()  # a close that waits for its turn to write never comes
            return False
        return bool(super().writable())


def keep_strict(listening: dict[int, Any]) -> None:
    """Have the server's connections read so; `listening`: what the library serves, by its number.

    The library makes a socket for each address of a name such as localhost.
    """
    for each in listening.values():
        if isinstance(each, BaseWSGIServer):
            each.channel_class = Channel
