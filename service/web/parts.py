"""The interface in parts, for a program that lives for one command and asks for a noun or two.

Importing all of it takes such a program longer than what it is run for.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from . import resources
from .context.request import House
from .context.settings import Clock, Settings, wall_clock
from .wiring import open_yard, wire


class Parts:
    """A WSGI application: each noun is put together when its address is first asked.

    Its answers are those of the whole service, but for the pages, which only people read.

    Raises:
        StoreUnusable: the store is of a newer program, in use elsewhere, or no store.
    """

    def __init__(self, settings: Settings, *, clock: Clock = wall_clock) -> None:
        open_yard(settings, clock())
        self._house = House(settings, clock)
        self._parts: dict[str, Any] = {}

    def __call__(self, environ: dict[str, Any], start_response: Any) -> Iterable[bytes]:
        """Have the noun's part answer."""
        answer: Iterable[bytes] = self._serving(_noun(environ["PATH_INFO"]))(
            environ, start_response
        )
        return answer

    def _serving(self, noun: str) -> Any:
        if noun not in self._parts:
            nouns = [noun] if noun else []
            self._parts[noun], _ = wire(self._house, resources.serving(*nouns))
        return self._parts[noun]


def _noun(path: str) -> str:
    """Of `/v1/lots/7`, lots; of an address that no noun has, nothing."""
    _, version, noun, *_ = [*path.split("/"), "", "", ""]
    return noun if version == "v1" and noun in resources.NOUNS else ""
