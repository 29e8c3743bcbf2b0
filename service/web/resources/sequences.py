"""Sequences: steps that are kept by name, for plans."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from ...acts.plan import sequences
from ...acts.plan.chain import STEPS_MAX
from ...acts.plan.sequences import KINDS, SequenceView
from ...core.amounts.quantities import TIME
from .. import fields
from ..context.request import hand, now
from ..fields.schemas import Body, Loaded
from ..fields.views import answer
from ..http import paging
from ..http.access import reads, writes
from ..http.blueprint import Blueprint

blp = Blueprint(
    "sequences", __name__, url_prefix="/v1/sequences", description="Steps kept by name, for plans."
)


class SequenceStepIn(Body):
    """A step: a part that cures, work on it, or a wait."""

    title = fields.Text(required=True)
    kind = fields.Choice(KINDS, load_default="cure")
    part = fields.Text(most=40)
    work = fields.Quantity(TIME, positive=True)
    abrade = fields.Quantity(TIME, positive=True)
    wait = fields.Quantity(TIME, positive=True)


class SequenceIn(Body):
    """Steps to keep by a name."""

    name = fields.Code(required=True)
    steps = fields.List(fields.Nested(SequenceStepIn), least=1, most=STEPS_MAX, required=True)


@blp.route("")
class Sequences(MethodView):
    """Sequences of steps."""

    @blp.arguments(paging.Page, location="query")
    @reads()
    @blp.response(200, paging.listing(answer(SequenceView)))
    def get(self, query: Loaded) -> paging.Listed:
        """List the sequences, the last kept first."""
        return paging.page(query, sequences.list_sequences)

    @blp.arguments(SequenceIn)
    @writes(role="hand")
    @blp.response(201, answer(SequenceView))
    def post(self, body: Loaded) -> Any:
        """Keep steps by a name; those that had it before count no longer."""
        kept = sequences.keep_sequence(**body, now=now(), hand=hand())
        return kept, 201, {"Location": f"/v1/sequences/{kept.name}"}


@blp.route("/<code:name>")
class Sequence(MethodView):
    """One sequence."""

    @reads()
    @blp.response(200, answer(SequenceView))
    def get(self, name: str) -> Any:
        """Show a sequence."""
        return sequences.show_sequence(name)
