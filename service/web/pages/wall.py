"""The wall: layups that cure and the next actions, for a screen in the shop and a phone."""

from __future__ import annotations

from functools import partial

from flask import Flask

from ...acts.wall import wall
from ...acts.wall.wall import WallView
from ...acts.yard import finding
from ..context.request import now
from ..drawings import ribbons
from . import base

LARGE = 4
"""Layups that are drawn large: as many as fit a screen across the shop."""
SHOWN = 6
"""Most lines of each list of stock."""
POTS_SHOWN = 4
"""Lines of pots that nobody laid up: they are above the strips, and must not push them off."""


def add(app: Flask) -> None:
    """Add these pages to an application."""
    app.add_url_rule("/", "wall", base.looks(show_wall))
    app.add_url_rule("/layups/<id:layup>", "layup_page", base.looks(show_layup))


def show_wall() -> str:
    """The yard at a glance."""
    shown = wall.wall(now())
    return base.sheet(
        "wall.html",
        **vars(shown),
        large=shown.layups[:LARGE],
        small=shown.layups[LARGE:],
        shown=SHOWN,
        pots_shown=POTS_SHOWN,
        size=ribbons,
        draw=partial(ribbons.draw, moment=now()),
        summary=_summary(shown),
    )


def show_layup(layup: int) -> str:
    """Everything about one layup."""
    shown = wall.layup_page(finding.layup(layup), now())
    return base.sheet("layup.html", layup=shown, drawn=ribbons.draw(shown, now()), size=ribbons)


def _summary(shown: WallView) -> str:
    """The wall in a line: the number of things of each kind to see to."""
    shuts = sum(bool(layup.shuts) for layup in shown.layups)
    trouble = sum(layup.action.action in ("probe", "heat") for layup in shown.layups)
    counts = (
        (shuts, "with a window about to shut"),
        (trouble, "in trouble"),
        (len(shown.pots), "mixed and not laid up"),
        (len(shown.lots.expired), "out of date in the store"),
        (len(shown.short), "short"),
    )
    rest = [f"{count} {words}" for count, words in counts if count]
    return ", ".join([f"{len(shown.layups) or 'Nothing'} in cure", *rest])
