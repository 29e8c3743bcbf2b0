"""The drawing of a cut list, for whoever asks for it instead of JSON."""

from __future__ import annotations

from flask import Response, render_template, request

from ...drawings.cuts import Drawing

SVG = "image/svg+xml"


def wants_drawing() -> bool:
    """Whether the request would rather have the drawing."""
    return request.accept_mimetypes.best_match(["application/json", SVG]) == SVG


def drawn(drawing: Drawing) -> Response:
    """The drawing as an answer."""
    return Response(render_template("cuts.svg", drawing=drawing), mimetype=SVG)
