"""Cut lists: as JSON, or as a drawing for whoever asks for that."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from flask import Response, render_template, request

from ...context.request import units
from ...drawings.cuts import Bed, Drawing, draw

SVG = "image/svg+xml"


def or_drawn(found: Any, title: str, beds: Sequence[Bed]) -> Any:
    """A cut list, or its drawing where the request prefers that."""
    best = request.accept_mimetypes.best_match(["application/json", SVG])
    return drawn(draw(title, beds, units())) if best == SVG else found


def drawn(drawing: Drawing) -> Response:
    """The drawing as an answer."""
    return Response(render_template("cuts.svg", drawing=drawing), mimetype=SVG)
