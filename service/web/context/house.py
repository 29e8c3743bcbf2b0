"""The one running service, as every request finds it."""

from __future__ import annotations

from dataclasses import field

from flask import current_app

from ...core.frozen import frozen
from .exports import Exports
from .settings import Clock, Settings
from .streams import Streams
from .throttle import Failures


@frozen
class House:
    """What one running service is made of.

    Attributes:
        settings: how it was set up.
        clock: says what time it is.
        behind_proxy: whether requests come through a proxy; then everybody logs in.
        on_lan: whether other machines of the yard's network come in by TLS; then too.
        failures: the wrong tokens of the last minute.
        streams: the open streams.
        exports: the tables that are being made.
    """

    settings: Settings
    clock: Clock
    behind_proxy: bool = False
    on_lan: bool = False
    failures: Failures = field(default_factory=Failures)
    streams: Streams = field(default_factory=Streams)
    exports: Exports = field(default_factory=Exports)

    @property
    def is_networked(self) -> bool:
        """Whether other machines are served, so that everybody logs in."""
        return self.behind_proxy or self.on_lan


def house() -> House:
    """The service that answers the present request."""
    found: House = current_app.extensions["cureyard"]
    return found
