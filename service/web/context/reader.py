"""Words with amounts, as whoever reads an answer or a page sees them."""

from __future__ import annotations

from typing import Any

from ...core.errors import Refusal
from ...core.words import System, Words, shown
from ...store.engine.faults import StoreUnusable
from .request import units


def in_readers_units(words: Any) -> str:
    """Words with amounts as plain text: what `json.dumps` asks for what is no plain value.

    Raises:
        TypeError: they are no words.
    """
    if not isinstance(words, Words):
        raise TypeError(f"{type(words).__name__} has no form in JSON")
    return shown(words, _units())


def finalized(value: Any) -> Any:
    """A value as a template writes it."""
    return in_readers_units(value) if isinstance(value, Words) else value


def _units() -> System:
    """The units asked for; metric, where those are refused or the yard can't be read."""
    try:
        return units()
    except (Refusal, StoreUnusable):
        return "metric"
