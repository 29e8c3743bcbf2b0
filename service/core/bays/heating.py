"""How warm to keep a bay: a little above the least, as a thermometer may read too high."""

from __future__ import annotations

from ..amounts.sentences import at_least
from ..words import Text, say


def with_margin(least: float, uncertainty: float, most: float | None = None) -> float:
    """The temperature to keep so that it is surely not below `least`; all in K.

    Args:
        uncertainty: of the measurement. most: the sheet's greatest temperature, or None.
    """
    kept = least + uncertainty
    return kept if most is None else max(min(kept, most), least)


def hold(temperature: float, until: str | None) -> Text:
    """How to keep it warm, in words.

    Args:
        temperature: K. until: a clock time, or None if it is not known.
    """
    return say("hold at least {} until {}", at_least(temperature), until or "it is hard")
