"""Quality gates of a job: conditions for laying a layer, or for moving the part on."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from ...acts.cure import gates
from ...acts.cure.gates import GatesView
from ...acts.yard import finding
from ...core.gates.profiles import LIMITS
from .. import fields
from ..context.request import hand, now
from ..fields.schemas import Body, Loaded, Query
from ..fields.views import answer
from ..http.access import reads, writes
from .needs import blp as blp


class GatesAsked(Query):
    """Where the work is, whether resin is sprayed, when the surface was abraded and wiped."""

    bay = fields.Code(load_default=None)
    spraying = fields.Flag(load_default=False)
    prepared_at = fields.Moment(load_default=None)


class GateIn(Body):
    """A gate to set aside for a day, and why."""

    gate = fields.Choice(tuple(LIMITS), required=True)
    reason = fields.Text(required=True)


@blp.route("/<code:number>/gates")
class Gates(MethodView):
    """The quality gates of a job."""

    @blp.arguments(GatesAsked, location="query")
    @reads()
    @blp.response(200, answer(GatesView))
    def get(self, query: Loaded, number: str) -> Any:
        """Judge a job's quality gates as of now, by the yard's profile."""
        return gates.show_gates(finding.job(number), now(), **query)

    @blp.arguments(GateIn)
    @writes(role="lead")
    @blp.response(201, answer(GatesView))
    def post(self, body: Loaded, number: str) -> Any:
        """Set a gate of a job aside for a day, on record."""
        return gates.override_gate(finding.job(number), **body, now=now(), hand=hand()), 201
