"""The interface in parts, for a program that runs one command and needs a noun or two.

Importing the whole interface would take such a program longer than its command.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from flask import Flask

from . import resources
from .context.house import House
from .context.settings import Clock, Settings, wall_clock
from .wiring import open_yard, wire

if TYPE_CHECKING:
    from _typeshed.wsgi import StartResponse, WSGIEnvironment


class Parts:
    """A WSGI application: each noun is put together when one of its addresses is first asked.

    It answers as the whole service does, but has no pages, which only people read.

    Raises:
        StoreUnusable: the store is of a newer program, in use elsewhere, or no store.
    """

    def __init__(self, settings: Settings, *, clock: Clock = wall_clock) -> None:
        open_yard(settings, clock())
        self._house = House(settings, clock)
        self._parts: dict[str, Flask] = {}

    def __call__(self, environ: WSGIEnvironment, start_response: StartResponse) -> Iterable[bytes]:
        """Have the noun's part answer."""
        return self._serving(_noun(environ["PATH_INFO"]))(environ, start_response)

    def _serving(self, noun: str) -> Flask:
        if noun not in self._parts:
            nouns = [noun] if noun else []
            self._parts[noun], _ = wire(self._house, resources.serving(*nouns))
        return self._parts[noun]


def _noun(path: str) -> str:
    """`lots` of `/v1/lots/7`; empty for an address of no noun."""
    _, version, noun, *_ = [*path.split("/"), "", "", ""]
    return noun if version == "v1" and noun in resources.NOUNS else ""
