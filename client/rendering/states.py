"""The words of states: one for each, the same as on the pages (`service/web/templates/signs.html`).

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
}
"""Slug → words, of signs, of milestones and of lots."""

TROUBLE = ("suspect", "late", "cold_stalled", "unsettled")
"""Signs of trouble, the worst first."""
_FIRST = (*TROUBLE, "recoat_open", "recoat_touch", "wet", "gelling", "handling_cure",
          "sandable", "recoat_past", "gelled", "tacky")  # fmt: skip
"""What a row has room for one of, the most useful first."""
_GELS = {"wet", "gelling", "gelled", "cold_stalled", "finished"}
_HARD = ("thumbnail", "hardness", "solvent_wipe", "sanded")
_SEEN_BY = {
    "wet": ("not_gelled",), "gelling": ("not_gelled",), "late": ("not_gelled",),
    "suspect": ("not_gelled",), "gelled": ("gelled", "no_transfer", "green", *_HARD),
    "recoat_open": ("no_transfer", "green"), "sandable": _HARD,
}  # fmt: skip
"""Sign → what a hand notes that shows it."""


def words(slug: object) -> str:
    """The words for a slug; one that has none is its own."""
    name = str(slug or "").replace("-", "_")
    return WORDS.get(name, name.replace("_", " "))


def of(layup: Record) -> list[str]:
    """The states of a layup, in words."""
    return [_words(layup, sign) for sign in _signs(layup)]


def first(layup: Record) -> str:
    """The slug of the state that matters most; empty where there is none."""
    shown = _signs(layup)
    return next((sign for sign in _FIRST if sign in shown), shown[0] if shown else "")


def first_words(layup: Record) -> str:
    """The state that matters most, in words."""
    return _words(layup, first(layup))


def is_seen(layup: Record, sign: str) -> bool:
    """Whether a hand saw the layup in this state; else it is a forecast."""
    kinds = {seen["kind"] for seen in layup.get("observations") or ()}
    return not kinds.isdisjoint(_SEEN_BY.get(sign, ()))


def _signs(layup: Record) -> list[str]:
    """The signs of a layup; of one that will not gel in the cold, also that it stalls."""
    shown = list(layup.get("state") or ())
    gel = (layup.get("milestones") or {}).get("gel") or {}
    stalls = gel.get("why") == "cold-stalled" and not _GELS.intersection(shown)
    return ["cold_stalled", *shown] if stalls else shown


def _words(layup: Record, sign: str) -> str:
    forecast = sign == "gelled" and not is_seen(layup, sign)
    return WORDS["gelled_forecast"] if forecast else words(sign)
