"""What comes back for a request, over the network or from the service in this process."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from contextlib import AbstractContextManager
from typing import BinaryIO, NamedTuple, Protocol


class Headers(Protocol):
    """The headers of a reply, whose names are in any case."""

    def get(self, name: str, /) -> str | None:
        """The value of one, or None."""


class Reply(NamedTuple):
    """A reply, as it came."""

    status: int
    headers: Headers
    content: bytes


class Transport(Protocol):
    """Sends requests to one service."""

    def send(
        self,
        method: str,
        target: str,
        headers: Mapping[str, str],
        body: bytes | BinaryIO | None,
        time_factor: int = 1,
    ) -> Reply:
        """Send a request to a path with its query; a table may take `time_factor` times as long.

        Raises:
            Unreached: nothing answers.
        """

    def pieces(
        self, target: str, headers: Mapping[str, str], time_factor: int = 1
    ) -> AbstractContextManager[tuple[Reply, Iterable[bytes]]]:
        """Read something long: the reply, whose content is a refusal's alone, and the pieces.

        Raises:
            Unreached: nothing answers, or the pieces broke off.
        """

    def close(self) -> None:
        """Close the connection."""
