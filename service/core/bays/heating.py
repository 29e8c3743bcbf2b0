"""How warm to keep what must cure: never the least itself, which a thermometer may miss."""

from __future__ import annotations

from ..amounts import sentences as worded


def with_margin(least: float, uncertainty: float, most: float | None = None) -> float:
    """The temperature to keep so that it is surely not under `least`; all in K.

    Args:
        uncertainty: of what is measured. most: never warmer than this, where a sheet says so.
    """
    kept = least + uncertainty
    return kept if most is None else max(min(kept, most), least)


def hold(temperature: float, until: str | None) -> str:
    """What to do about the cold, in words; `until` a clock time, None where it can't be told."""
    return f"hold at least {worded.at_least(temperature)} until {until or 'it is hard'}"
