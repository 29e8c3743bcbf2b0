"""Sentences in the units of whoever reads them.

What the acts say carries its amounts in both systems of units (`core.worded`); every answer, page
or refusal passes here on its way out, and keeps the one that was asked for.
"""

from __future__ import annotations

from flask import Response

from ...core.amounts import sentences as worded
from ...core.amounts.quantities import System
from ...core.errors import Refusal
from ...store.engine.faults import StoreUnusable
from ..context.request import units

_MARK = worded.OPENS.encode()
_NO_WORDS = frozenset({"image/png"})
"""What may have the mark's bytes by chance."""


def settle(response: Response) -> Response:
    """An answer with one of each two amounts in its sentences."""
    if response.is_streamed or response.direct_passthrough or response.mimetype in _NO_WORDS:
        return response
    if _MARK not in response.get_data():
        return response
    response.set_data(worded.shown(response.get_data(as_text=True), _system()))
    return response


def _system() -> System:
    """What was asked for; where that was no system, or the yard can't be read, the metric one."""
    try:
        return units()
    except (Refusal, StoreUnusable):
        return "metric"
