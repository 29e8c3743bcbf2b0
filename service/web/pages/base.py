"""How a page of the yard is written.

    from . import base

    def add(app: Flask) -> None:
        app.add_url_rule("/jobs/<code:number>", "job", base.looks(show_job))

    def show_job(number: str) -> str:
        return base.sheet("job.html", job=open_job.show_job(number))

with a template that extends `yard.html`. A page is for known people (see `guards`), sees one state
of the store, and shows the moment it is of at its head. A page to begin at has its endpoint in
`LINKS`. Moments are epoch seconds, shown by the filters `clock`, `day` and `iso`; amounts are
numbers in base units, shown by `amount`: see `clock_faces`.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any, TypeVar

from flask import Flask, Response, render_template

from ...acts.jobs.signature import is_signed
from ...core.amounts import hours, quantities
from ...core.cure.signs import TROUBLE
from ...core.products import hardness
from ...store.engine.database import reading
from ..context import clock_faces, state_words
from ..context.request import hand, now, zone

Page = TypeVar("Page", bound="str | Response")

LINKS: tuple[tuple[str, str], ...] = (
    ("wall", "Yard"),
    ("jobs_page", "Jobs"),
    ("lots_page", "Lots"),
    ("bays_page", "Bays"),
    ("mix_page", "Mix"),
)
"""Pages to begin at: endpoint and word, in their order at the head of a page, in one row."""
SECTIONS = {"layup": "wall", "batch": "wall", "job": "jobs_page", "lot": "lots_page",
            "bay": "bays_page", "mix": "mix_page", "moisture": "jobs_page"}  # fmt: skip
"""How the endpoint of a page begins: the page to begin at that it belongs to."""
MORE: tuple[tuple[str, str], ...] = (("products_page", "Products"), ("docs", "Interface"))
"""The rest of them, at its foot."""


def add(app: Flask) -> None:
    """Add the filters by which templates show moments and amounts."""
    for show in (
        clock_faces.clock,
        clock_faces.since,
        clock_faces.away,
        clock_faces.shown,
        hours.minute,
        clock_faces.day,
        clock_faces.short_day,
        clock_faces.iso,
        clock_faces.amount,
        clock_faces.words,
        clock_faces.unit,
    ):
        app.add_template_filter(show)
    shown = ("MASS", "LENGTH", "SIZE", "TEMPERATURE", "DOSE_VOLUME")
    kinds = {name: getattr(quantities, name) for name in shown}
    app.jinja_env.globals.update(
        kinds,
        may_act=may_act,
        is_signed=is_signed,
        between=clock_faces.between,
        links=LINKS,
        SECTIONS=SECTIONS,
        more_links=MORE,
        STATES=state_words.WORDS,
        TROUBLE=TROUBLE,
        SCALES=hardness.WORDS,
    )


def looks(view: Callable[..., Page]) -> Callable[..., Page]:
    """A page that sees one state of the store throughout."""

    @wraps(view)
    def looked(**address: Any) -> Page:
        with reading():
            return view(**address)

    return looked


def may_act() -> bool:
    """Whether whoever looks at the page may also enter the day's work."""
    return hand().is_at_least("hand")


def sheet(template: str, **facts: Any) -> str:
    """A page of the yard, as of now."""
    return render_template(template, at=now(), zone=zone().key, **facts)
