"""Jobs: one piece of work on one craft."""

from __future__ import annotations

from typing import Any, get_args

from flask.views import MethodView

from ...acts.jobs import job
from ...acts.jobs.job import JobView
from ...acts.yard import finding
from ...store.stock.jobs import State, Structural
from .. import fields
from ..context.request import hand, now
from ..fields.schemas import Body
from ..fields.views import answer
from ..http import paging, versions
from ..http.access import reads, writes
from ..http.blueprint import Blueprint

blp = Blueprint("jobs", __name__, url_prefix="/v1/jobs", description="Work on one craft.")

STRUCTURAL = get_args(Structural)
STATES: tuple[State, ...] = get_args(State)


class JobIn(Body):
    """A job to open."""

    number = fields.Code(required=True)
    title = fields.Text(required=True)
    craft = fields.Text(required=True)
    structural = fields.Choice(STRUCTURAL, load_default="unknown")
    authority = fields.Text()
    at = fields.Moment(metadata={"description": "When it was opened, if not now."})


class JobChange(Body):
    """A change to a job."""

    title = fields.Text()
    craft = fields.Text()
    structural = fields.Choice(STRUCTURAL)
    authority = fields.Text()
    state = fields.Choice(STATES)
    reason = fields.Text()


class JobPage(paging.Page):
    """Which jobs to list."""

    state = fields.Choice(STATES, load_default=None)


@blp.route("")
class Jobs(MethodView):
    """The yard's work."""

    @blp.arguments(JobPage, location="query")
    @reads()
    @blp.response(200, paging.listing(answer(JobView)))
    def get(self, query: dict[str, Any]) -> dict[str, Any]:
        """List jobs, newest first."""
        return paging.page(query, lambda a, n: job.list_jobs(a, n, query["state"]))

    @blp.arguments(JobIn)
    @writes(role="hand")
    @blp.response(201, answer(JobView))
    def post(self, body: dict[str, Any]) -> Any:
        """Open a job."""
        opened = job.open_job(**body, now=now(), hand=hand())
        place = {"Location": f"/v1/jobs/{opened.number}"}
        return opened, 201, place | versions.etag(opened.version)


@blp.route("/<code:number>")
class Job(MethodView):
    """One job."""

    @reads()
    @blp.response(200, answer(JobView))
    def get(self, number: str) -> Any:
        """Show a job."""
        shown = job.show_job(finding.job(number))
        return shown, 200, versions.etag(shown.version)

    @blp.arguments(JobChange)
    @writes(role="lead", versioned=True)
    @blp.response(200, answer(JobView))
    def patch(self, body: dict[str, Any], number: str) -> Any:
        """Change a job, or close it."""
        row = finding.job(number)
        versions.match(row.version)
        changed = job.change_job(row, **body, now=now(), hand=hand())
        return changed, 200, versions.etag(changed.version)
