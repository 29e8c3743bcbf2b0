"""A logger's table as the JSON of readings that it stands for."""

from __future__ import annotations

from datetime import tzinfo
from typing import Any

from ..files import cells, logger


def readings(text: str, clock: tzinfo) -> list[dict[str, Any]]:
    """The readings of a table, as a request has them.

    Args:
        clock: that moments without an offset are on.

    Raises: as `logger.read`.
    """
    return [_reading(line) for line in logger.read(text, clock).lines]


def _reading(line: logger.Line) -> dict[str, Any]:
    told: dict[str, Any] = {
        "at": line.at.isoformat(timespec="seconds"),
        "temperature": line.temperature,
    }
    if line.humidity:
        told["humidity_percent"] = cells.number(line.humidity)
    return told
