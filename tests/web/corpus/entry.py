"""One bad request: what is sent, and the slug that it is refused with."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import Any

JSON = "application/json"
CSV = "text/csv"


@dataclass(frozen=True)
class Entry:
    """A request that must be refused.

    Attributes:
        slug: why. what: what is wrong with it, for whoever reads a failure.
        path: an address as it is typed, with its query. data: the body.
        kind: its media type; None sends none.
        environ: headers and the like, as a server hands them to an application (so `HTTP_…`):
            also those that no client library would send.
        pointer: where the answer must say that it stands; None where that is all the same.
    """

    slug: str
    what: str
    method: str
    path: str
    data: bytes = b""
    kind: str | None = JSON
    environ: tuple[tuple[str, str], ...] = ()
    pointer: str | None = None

    @property
    def sent(self) -> tuple[Any, ...]:
        """What reaches the service, by which two entries are one or not."""
        return self.method, self.path, self.data, self.kind, self.environ


def raw(
    slug: str, what: str, data: bytes, path: str = "/v1/lots", kind: str | None = JSON
) -> Entry:
    """A body as it is."""
    return Entry(slug, what, "POST", path, data, kind)


def body(slug: str, what: str, path: str, value: Any, pointer: str | None = None) -> Entry:
    """A body that is plain JSON."""
    return Entry(slug, what, "POST", path, json.dumps(value).encode(), pointer=pointer)


def get(slug: str, what: str, path: str) -> Entry:
    """An address that is only looked at."""
    return Entry(slug, what, "GET", path, kind=None)


def with_headers(
    slug: str, what: str, path: str, value: Any, method: str = "POST", **environ: str
) -> Entry:
    """A good body, with something wrong about it."""
    data = b"" if value is None else json.dumps(value).encode()
    kind = None if value is None else JSON
    return Entry(slug, what, method, path, data, kind, tuple(sorted(environ.items())))
