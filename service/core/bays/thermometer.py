"""How well a bay's temperature is known where it is read: by its thermometer's last check."""

from __future__ import annotations

from datetime import date

CHECKED_K, UNCHECKED_K = 1.0, 2.0
"""A thermometer that was checked within a year is good to 1 K, another to 2 (common practice)."""
HOLDS_S = 366 * 86_400
"""How long a check holds: a year, and the day that it was made on."""

_EPOCH = date(1970, 1, 1)


def known_to(stated: float, checked_on: date | None, at: float) -> float:
    """Half-width of a bay's temperature, K, at a moment in epoch s.

    Args:
        stated: what the yard says of it, K. Where that is more than `UNCHECKED_K`, it is not the
            thermometer, and no check helps.
    """
    if checked_on is None or not CHECKED_K < stated <= UNCHECKED_K:
        return stated
    since = at - (checked_on - _EPOCH).days * 86_400
    return CHECKED_K if -86_400 <= since <= HOLDS_S else stated
