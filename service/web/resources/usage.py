"""Usage: a job's record, for whoever must vouch for it."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from ...acts.jobs import usage
from ...acts.jobs.usage import UsageView
from ...acts.yard import finding
from ..context.request import now
from ..fields.views import answer
from ..http.access import reads
from .gates import blp as blp


@blp.route("/<code:number>/usage")
class Usage(MethodView):
    """The usage of a job."""

    @reads()
    @blp.response(200, answer(UsageView))
    def get(self, number: str) -> Any:
        """Show what a job used: lots, waste, cost, temperatures while it cured, who did what."""
        return usage.usage(finding.job(number), now())
