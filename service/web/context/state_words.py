"""The words for states on pages and in calendars: one for each.

The terminal has the same table, `client/rendering/states.py`; a test compares them.
"""

from __future__ import annotations

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
