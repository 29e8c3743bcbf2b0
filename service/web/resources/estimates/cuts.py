"""Cuts in an answer, from rolls and from sheets alike."""

from __future__ import annotations

from flask import Response, render_template, request

from ....core.amounts.quantities import SIZE
from ....core.estimates.outlines import HOLES
from ... import fields
from ...drawings.cuts import Drawing
from ...fields.schemas import Answer

SVG = "image/svg+xml"
SHAPES = (*HOLES, "seam")


class LaidOut(Answer):
    """One cut: `start` along from the cut end, `edge` from the left edge seen from there.

    `length` is along the roll or the grain as the piece lies, `width` across; `turned` says
    that it lies a quarter turn round.
    """

    ply = fields.Integer(required=True)
    name = fields.Text(required=True)
    shape = fields.Choice(SHAPES, required=True)
    length = fields.Quantity(SIZE, required=True)
    width = fields.Quantity(SIZE, required=True)
    start = fields.Quantity(SIZE, required=True)
    edge = fields.Quantity(SIZE, required=True)
    turned = fields.Flag(required=True)


def wants_drawing() -> bool:
    """Whether the request prefers the drawing."""
    return request.accept_mimetypes.best_match(["application/json", SVG]) == SVG


def drawn(drawing: Drawing) -> Response:
    """The drawing as an answer."""
    return Response(render_template("cuts.svg", drawing=drawing), mimetype=SVG)
