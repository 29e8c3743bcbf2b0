"""Traces: where a lot stood, and where it went, for whoever asks two years on."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from ...acts.jobs import trace
from ...acts.jobs.trace import TraceView
from ...acts.yard import finding
from ..context.request import now
from ..fields.views import answer
from ..http.access import reads
from .lots import blp as blp


@blp.route("/<id:lot>/trace")
class Trace(MethodView):
    """The trace of a lot."""

    @reads()
    @blp.response(200, answer(TraceView))
    def get(self, lot: int) -> Any:
        """Show every job, pot and layup that a lot went into."""
        return trace.trace_lot(finding.lot(lot), now())
