"""A receiver of server-sent events: the parsing rules of WHATWG HTML, 9.2.6, line by line."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import Any

import requests

from .waiting import HANGS_S


@dataclass
class Receiver:
    """What listens to a stream.

    Attributes:
        last: the id that it would come back with. retry: milliseconds that it was told to wait.
        comments: how many it heard. heard: the data of each event, with its id.
    """

    last: str = ""
    retry: int | None = None
    comments: int = 0
    heard: list[tuple[str, dict[str, Any]]] = field(default_factory=list)

    def take(self, lines: Iterable[str]) -> Iterator[dict[str, Any]]:
        """Take in lines without their ends; each event as it is dispatched."""
        data: list[str] = []
        number = self.last
        for line in lines:
            name, _, value = line.partition(":")
            value = value.removeprefix(" ")
            if not line:
                self.last = number
                if data:
                    self.heard.append((number, json.loads("\n".join(data))))
                    yield self.heard[-1][1]
                data = []
            elif not name:
                self.comments += 1
            elif name == "data":
                data.append(value)
            elif name == "id":
                number = value
            elif name == "retry" and value.isdecimal():
                self.retry = int(value)
            else:
                raise AssertionError(f"a line that means nothing: {line!r}")

    def read(self, text: str) -> list[dict[str, Any]]:
        """Take in an answer; what broke off within a line is dropped."""
        return list(self.take(re.split(r"\r\n|\r|\n", text)[:-1]))

    def listen(self, url: str, **query: Any) -> Iterator[dict[str, Any]]:
        """Ask a service, from the last on; each event as it arrives."""
        headers = {"Last-Event-ID": self.last} if self.last else {}
        with requests.get(
            url, params=query, headers=headers, stream=True, timeout=HANGS_S
        ) as answer:
            assert (answer.status_code, answer.headers["Content-Type"].partition(";")[0]) == (
                200, "text/event-stream",
            )  # fmt: skip
            yield from self.take(answer.iter_lines(chunk_size=1, decode_unicode=True))
