"""The wall: what lies curing and what to do, for a screen across the shop and one in a pocket."""

from __future__ import annotations

from typing import Any

from flask import Flask

from ...acts.wall import wall
from ...acts.yard import finding
from ..context.request import now
from ..drawings import ribbons
from . import base

LARGE = 4
"""Layups that are drawn large: as many as a screen across the shop has room for."""
SHOWN = 6
"""Lines of each list of stock."""
POTS_SHOWN = 4
"""Lines of pots that nobody laid up: they stand above the strips, and must not push them off."""


def add(app: Flask) -> None:
    """Put these pages into an application."""
    app.add_url_rule("/", "wall", base.looks(show_wall))
    app.add_url_rule("/layups/<id:layup>", "layup_page", base.looks(show_layup))


def show_wall() -> str:
    """The yard at a glance."""
    told = wall.wall(now())
    layups = [_drawn(layup) for layup in told["layups"]]
    return base.sheet(
        "wall.html",
        **{**told, "layups": layups},
        large=layups[:LARGE],
        small=layups[LARGE:],
        shown=SHOWN,
        pots_shown=POTS_SHOWN,
        size=ribbons,
        summary=_summary(told),
    )


def show_layup(layup: int) -> str:
    """One layup, whole."""
    told = _drawn(wall.layup_sheet(finding.layup(layup), now()))
    return base.sheet("layup.html", layup=told, size=ribbons)


def _drawn(layup: dict[str, Any]) -> dict[str, Any]:
    return {**layup, "drawn": ribbons.draw(layup, now())}


def _summary(told: dict[str, Any]) -> str:
    """The wall in a line: how much of what there is to see to."""
    shuts = sum(bool(layup["shuts"]) for layup in told["layups"])
    trouble = sum(layup["action"]["action"] in ("probe", "heat") for layup in told["layups"])
    counts = (
        (shuts, "with a window about to shut"),
        (trouble, "in trouble"),
        (len(told["pots"]), "mixed and not laid up"),
        (len(told["lots"]["expired"]), "out of date in the store"),
        (len(told["short"]), "short"),
    )
    rest = [f"{count} {words}" for count, words in counts if count]
    return ", ".join([f"{len(told['layups']) or 'Nothing'} in cure", *rest])
