"""Quality gates of a job: conditions for laying a layer, or for moving the part on."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from ...acts.cure import gates
from ...acts.yard import finding
from ...core.gates.judged import BEFORE, VERDICTS
from ...core.gates.profiles import LIMITS, PROFILES
from .. import fields
from ..context.request import hand, now
from ..fields.schemas import Answer, Body, Loaded, Query
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


class SetAsideOut(Answer):
    """Why a gate was set aside, by whom, and until when."""

    reason = fields.Text(required=True)
    who = fields.Text(required=True)
    until = fields.Moment(required=True)


class GateOut(Answer):
    """A gate's answer: what it found, what would change it, where its figures come from."""

    gate = fields.Choice(tuple(LIMITS), required=True)
    title = fields.Text(required=True)
    before = fields.Choice(BEFORE, required=True)
    verdict = fields.Choice(VERDICTS, required=True)
    found = fields.Text(required=True)
    change = fields.Text(required=True)
    source = fields.Text(required=True)
    overridden = fields.Nested(SetAsideOut, required=True, allow_none=True)


class GatesOut(Answer):
    """A job's gates by the yard's profile; the verdict is the gravest not overridden."""

    job = fields.Code(required=True)
    profile = fields.Choice(PROFILES, required=True)
    title = fields.Text(required=True)
    refuses = fields.Flag(required=True)
    verdict = fields.Choice(VERDICTS, required=True)
    gates = fields.List(fields.Nested(GateOut), required=True)


@blp.route("/<code:number>/gates")
class Gates(MethodView):
    """The quality gates of a job."""

    @blp.arguments(GatesAsked, location="query")
    @reads()
    @blp.response(200, GatesOut)
    def get(self, query: Loaded, number: str) -> Any:
        """Judge a job's quality gates as of now, by the yard's profile."""
        return gates.show_gates(finding.job(number), now(), **query)

    @blp.arguments(GateIn)
    @writes(role="lead")
    @blp.response(201, GatesOut)
    def post(self, body: Loaded, number: str) -> Any:
        """Set a gate of a job aside for a day, on record."""
        return gates.override_gate(finding.job(number), **body, now=now(), hand=hand()), 201
