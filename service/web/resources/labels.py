"""Labels of lots and pots, to print at their real size."""

from __future__ import annotations

from flask import Response
from flask.views import MethodView

from ...acts.yard import finding
from ..context.request import now
from ..http.access import reads
from ..http.blueprint import Blueprint
from ..labels import images
from ..labels.paper import Label

blp = Blueprint(
    "labels", __name__, url_prefix="/v1", description="Labels of 60 × 40 mm with a QR code."
)

DRAWN = {"type": "string"}
DOTTED = {"type": "string", "contentMediaType": images.PNG}


@blp.route("/lots/<id:lot>/label.svg")
class LotDrawing(MethodView):
    """A lot's label as a drawing."""

    @reads()
    @blp.response(200, DRAWN, content_type=images.SVG)
    def get(self, lot: int) -> Response:
        """Draw a lot's label. Its code opens the lot's page if the yard has an address."""
        return images.svg(_of_lot(lot))


@blp.route("/lots/<id:lot>/label.png")
class LotImage(MethodView):
    """A lot's label as an image."""

    @reads()
    @blp.response(200, DOTTED, content_type=images.PNG)
    def get(self, lot: int) -> Response:
        """Draw a lot's label as an image, 12 dots per millimetre."""
        return images.png(_of_lot(lot))


@blp.route("/batches/<id:batch>/label.svg")
class PotDrawing(MethodView):
    """A pot's label as a drawing."""

    @reads()
    @blp.response(200, DRAWN, content_type=images.SVG)
    def get(self, batch: int) -> Response:
        """Draw a pot's label: when it gels, and until when it can be spread."""
        return images.svg(_of_pot(batch))


@blp.route("/batches/<id:batch>/label.png")
class PotImage(MethodView):
    """A pot's label as an image."""

    @reads()
    @blp.response(200, DOTTED, content_type=images.PNG)
    def get(self, batch: int) -> Response:
        """Draw a pot's label as an image, 12 dots per millimetre."""
        return images.png(_of_pot(batch))


def _of_lot(lot: int) -> Label:
    from ...acts.pots.label import lot_label  # late: who lists lots prints no label
    from ..labels import words

    return words.of_lot(lot_label(finding.lot(lot), now()))


def _of_pot(batch: int) -> Label:
    from ...acts.pots.label import pot_label
    from ..labels import words

    return words.of_pot(pot_label(finding.batch(batch)))
