"""The interface in a viewer of OpenAPI documents, whose files come with a package: no other host.

Its page has a security policy of its own: the viewer asks for the description by a script, and
draws some signs from `data:` addresses.
"""

from __future__ import annotations

from functools import cache
from importlib.util import find_spec
from pathlib import Path

from flask import Flask, Response, abort, make_response, render_template, send_from_directory

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; "
    "img-src 'self' data:; connect-src 'self'; base-uri 'none'; form-action 'self'; "
    "frame-ancestors 'none'"
)
FILES = frozenset({"swagger-ui.css", "swagger-ui-bundle.js"})
"""The files of the package that are served."""


def add(app: Flask) -> None:
    """Add the viewer to an application."""
    app.add_url_rule("/docs", "docs", show_viewer)
    app.add_url_rule("/docs/viewer/<filename>", "viewer", send_file)


def show_viewer() -> Response:
    """The viewer on `/openapi.json`."""
    page = make_response(render_template("viewer.html"))
    page.headers["Content-Security-Policy"] = POLICY
    return page


def send_file(filename: str) -> Response:
    """One of the viewer's own files."""
    if filename not in FILES:
        abort(404)
    return send_from_directory(folder(), filename)


@cache
def folder() -> str:
    """Where the viewer's files are; the package itself is never imported."""
    package = find_spec("flask_swagger_ui")
    if package is None or package.origin is None:
        raise ModuleNotFoundError("flask-swagger-ui is not installed")
    return str(Path(package.origin).parent / "dist")
