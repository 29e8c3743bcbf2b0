"""The last entry, and how it is taken back."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from ...acts.stock.last_entry import LastEntryView, last_entry
from .. import fields
from ..context.request import hand
from ..fields.schemas import Loaded, Query
from ..fields.views import answer
from ..http.access import reads
from ..http.blueprint import Blueprint

blp = Blueprint("entries", __name__, url_prefix="/v1/entries", description="The last entries.")


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
    @blp.response(200, answer(LastEntryView))
    def get(self, query: Loaded) -> Any:
        """Show the last entry that is in force, of any kind."""
        return last_entry(query["hand"] or hand())
