"""Pages for people, from this service alone: one file a page, its template beside the others'."""

from __future__ import annotations

from flask import Flask

from ..api import Api
from ..context import shown as records
from . import base, batches, jobs, lots, paper, products, reference, wall


def add(app: Flask, api: Api) -> None:
    """Put the pages into an application, once its resources are in."""
    base.add(app)
    records.add(app)
    for each in (wall, jobs, lots, batches, products, paper):
        each.add(app)
    reference.add(app, api)
