"""The wall: what cures and what to do, a row each, for a screen in the shop and a phone."""

from __future__ import annotations

from dataclasses import replace

from flask import Flask, Response, make_response

from ...acts.wall import wall
from ...acts.wall.wall import WallView
from ..context import clock_faces
from ..context.request import now, units, zone
from ..drawings import ribbons
from ..http import still
from . import base, wall_foot, wall_rows

FOOT, FOOT_LARGE = wall_foot.LETTER, 34.0
"""The size of the letters of stock and bays; and where a wall has few rows."""


def add(app: Flask) -> None:
    """Add these pages to an application."""
    app.add_url_rule("/", "wall", base.looks(show_wall))


def show_wall() -> str | Response:
    """The yard at a glance; 304 where the page that is kept still holds."""
    shown, moment = wall.wall(now()), now()
    tag = still.tag_of(_words(shown))
    if (same := still.unchanged(tag)) is not None:
        return same
    return still.tagged(make_response(_page(shown, moment)), tag)


def _words(shown: WallView) -> str:
    """All that the page says, but for the moment and the bays' air.

    Ribbons draw the hours of their layups on an axis that moves with the clock: those hours count.
    """
    bays = [
        (bay.air.code, bay.air.title, bay.air.basis, bay.air.read is None, bay.under, bay.silent,
         bay.air.probe and bay.air.probe.doubted)
        for bay in shown.bays
    ]  # fmt: skip
    still_shown = replace(shown, ribbons={}, bays=[])
    reader = units(), zone().key, base.may_act()
    return repr((still_shown, bays, _summary(shown), reader))


def _page(shown: WallView, moment: int) -> str:
    lines = wall_rows.lines(shown, moment)
    axis = ribbons.FORMS["few" if lines.form == "none" else lines.form]
    letter = FOOT if lines.form in ("many", "some") else FOOT_LARGE
    bays, more_bays = wall_foot.bays(shown, letter)
    return base.sheet(
        "wall.html",
        lines=lines,
        axis=axis,
        hours=ribbons.axis(moment, axis),
        grid=ribbons.grid(moment, axis),
        here=axis.width * ribbons.NOW_AT,
        stock=wall_foot.stock(shown, letter),
        bays=bays,
        more_bays=more_bays,
        trouble=sum(row.do.urgency == "trouble" for row in shown.rows),
        summary=_summary(shown),
        next_layers=shown.next_layers,
        begun=shown.begun,
    )


def _summary(shown: WallView) -> str:
    """What there is beside trouble: pots, windows that shut within the hour, what cures."""
    pots = [row for row in shown.rows if row.pot]
    spread = sum(row.do.at is not None for row in pots)
    hours = [
        row.do.at
        for row in shown.rows
        if row.do.urgency == "ending" and row.state == "recoat_open" and row.do.at
    ]
    told = []
    if spread:
        told.append(f"{_count(spread, 'pot')} to spread")
    if len(pots) > spread:
        told.append(f"{_count(len(pots) - spread, 'pot')} to note")
    if hours:
        first = clock_faces.clock(min(hours))
        several = ", the first" if len(hours) > 1 else ""
        told.append(f"{_count(len(hours), 'window')} to use{several} by {first}")
    told.append(f"{shown.cures} in cure" if shown.rows else "Nothing in cure, nothing in trouble")
    return ", ".join(told)


def _count(number: int, word: str) -> str:
    return f"{number} {word}{'' if number == 1 else 's'}"
