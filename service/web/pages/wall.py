"""The wall: layups in cure and what to do, for a screen across the shop and for a phone."""

from __future__ import annotations

from typing import Any

from flask import Flask

from ...acts.wall import wall
from ...acts.yard import finding
from ..context.request import now
from ..drawings import ribbons
from . import base

LARGE = 4
"""Layups that are drawn large: as many as fit a screen across the shop."""
SHOWN = 6
"""Most lines of each list of stock."""
POTS_SHOWN = 4
"""Most lines of pots not laid up: they are above the strips, and must not push them off."""


def add(app: Flask) -> None:
    """Add these pages to an application."""
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
    """Everything about one layup."""
    told = _drawn(wall.layup_sheet(finding.layup(layup), now()))
    return base.sheet("layup.html", layup=told, size=ribbons)


def _drawn(layup: dict[str, Any]) -> dict[str, Any]:
    return {**layup, "drawn": ribbons.draw(layup, now())}


def _summary(told: dict[str, Any]) -> str:
    """The wall in one line: how many things of each kind need care."""
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
