"""The words of states: one for each, the same as on the pages (`web/context/state_words.py`).

A forecast is worded as one, until a hand has seen it.
"""

from __future__ import annotations

from ..answers import Record

WORDS = {
    "wet": "wet",
    "gelling": "gelling",
    "gelled_forecast": "should be gelled",
    "gelled": "gelled",
    "late": "late",
    "suspect": "suspect",
    "recoat_opens": "window opens",
    "recoat_open": "window open",
    "recoat_touch": "touch test",
    "recoat_closes": "window shuts",
    "recoat_past": "window shut",
    "sandable": "sandable",
    "tacky": "stays tacky",
    "cold_stalled": "stalled cold",
    "full_cure": "cured for handling",
    "handling_cure": "cured for handling",
    "unsettled": "left unsound",
    "expired": "out of date",
    "finished": "finished",
    "not_laid": "not laid",
    "skin": "skins",
    "skinned_forecast": "should be skinned",
    "skinned": "skin on",
    "through": "cured through",
    "cured_through": "cured through",
}
"""Slug → words, of signs, of milestones and of lots."""


def words(slug: object) -> str:
    """The words for a slug; one that has none is its own."""
    name = str(slug or "").replace("-", "_")
    return WORDS.get(name, name.replace("_", " "))


def of(layup: Record) -> list[str]:
    """The states of a layup, in words, the one that counts most first."""
    return [_words(layup, sign) for sign in dict.fromkeys((layup["sign"], *layup["state"]))]


def first(layup: Record) -> str:
    """The state that counts most, in words."""
    return _words(layup, layup["sign"])


def is_seen(layup: Record) -> bool:
    """Whether a hand saw it in that state; else it is a forecast."""
    return layup["sign"] in layup["seen"]


def _words(layup: Record, sign: str) -> str:
    forecast = sign in ("gelled", "skinned") and sign not in layup["seen"]
    return WORDS[f"{sign}_forecast"] if forecast else words(sign)
