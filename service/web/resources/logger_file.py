"""A logger's table as the JSON of its readings."""

from __future__ import annotations

from datetime import tzinfo

from ..fields.schemas import Loaded
from ..files import cells, logger


def readings(text: str, clock: tzinfo) -> list[Loaded]:
    """The readings of a table, as a JSON request has them but for their moments.

    Args:
        clock: of moments without an offset.

    Raises:
        Unreadable, Invalid: as `logger.read`.
    """
    return [_reading(line) for line in logger.read(text, clock).lines]


def _reading(line: logger.Line) -> Loaded:
    told: Loaded = {
        "at": line.at,
        "temperature": line.temperature,
    }
    if line.humidity:
        told["humidity_percent"] = cells.number(line.humidity)
    return told
