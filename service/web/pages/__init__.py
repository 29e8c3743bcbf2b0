"""Pages for people, all from this service: one file a page, its template in `templates`."""

from __future__ import annotations

from flask import Flask

from ..api import Api
from ..context import records
from ..http import forms, lasting
from . import (
    base,
    batches,
    bays,
    film,
    hardness,
    jobs,
    layups,
    leak_tests,
    lots,
    mix,
    moisture,
    paper,
    photographs,
    products,
    reference,
    surface,
    viewer,
    wall,
)


def add(app: Flask, api: Api) -> None:
    """Add the pages to an application that has its resources."""
    base.add(app)
    forms.add(app)
    records.add(app)
    for each in (
        wall, layups, hardness, jobs, moisture, film, surface, leak_tests, lots, bays, mix, batches,
        photographs, products, paper,
    ):  # fmt: skip
        each.add(app)
    viewer.add(app)
    reference.add(app, api)
    lasting.add(app, {"static": str(app.static_folder), "viewer": viewer.folder()})
