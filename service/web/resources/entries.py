"""The last entry, and how it is taken back."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from ...acts.stock import last_entry
from ...acts.stock.draw import MovementView
from ...core.amounts.quantities import TEMPERATURE
from .. import fields
from ..context.request import hand
from ..fields.schemas import Answer, Loaded, Query
from ..fields.views import answer
from ..http.access import reads
from ..http.blueprint import Blueprint

blp = Blueprint("entries", __name__, url_prefix="/v1/entries", description="The last entries.")

KINDS = ("movement", "layup", "layup_observation", "batch_observation", "reading")


class EnteredOut(Answer):
    """One thing entered, with what it is of."""

    kind = fields.Choice(KINDS, required=True)
    who = fields.Text(required=True)
    recorded_at = fields.Moment(required=True)
    movements = fields.List(fields.Nested(answer(MovementView)))
    layup = fields.Integer()
    title = fields.Text()
    job = fields.Code()
    batch = fields.Integer(allow_none=True)
    observation = fields.Integer()
    seen = fields.Text()
    bay = fields.Code()
    reading = fields.Integer()
    readings = fields.Integer(metadata={"description": "How many were entered with it."})
    temperature = fields.Quantity(TEMPERATURE)
    at = fields.Moment()


class LastEntryOut(Answer):
    """What somebody entered last, of what still stands."""

    entry = fields.Nested(EnteredOut, required=True, allow_none=True)


class OfHand(Query):
    """Of whom."""

    hand = fields.Text(
        load_default=None, metadata={"description": "By name; whoever asks, if it is not said."}
    )


@blp.route("/last")
class LastEntry(MethodView):
    """The last thing that somebody entered."""

    @blp.arguments(OfHand, location="query")
    @reads()
    @blp.response(200, LastEntryOut)
    def get(self, query: Loaded) -> Any:
        """Show the last entry that is in force and may be taken back."""
        return {"entry": last_entry.last_entry(query["hand"] or hand())}
