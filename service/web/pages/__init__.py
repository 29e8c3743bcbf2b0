"""Pages for people, from this service alone: one file a page, its template beside the others'."""

from __future__ import annotations

from flask import Flask

from ..api import Api
from . import base, reference


def add(app: Flask, api: Api) -> None:
    """Put the pages into an application, once its resources are in."""
    base.add(app)
    reference.add(app, api)
