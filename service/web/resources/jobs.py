"""Jobs: one piece of work on one craft."""

from __future__ import annotations

from operator import itemgetter
from typing import Any

from flask.views import MethodView

from ...acts.jobs import job as open_job
from ...acts.yard import finding
from .. import fields
from ..context.request import hand, now
from ..fields.schemas import Answer, Body, Loaded
from ..http import paging, versions
from ..http.access import reads, writes
from ..http.blueprint import Blueprint

blp = Blueprint("jobs", __name__, url_prefix="/v1/jobs", description="Work on one craft.")

STRUCTURAL = ("yes", "no", "unknown")
STATES: tuple[open_job.State, ...] = ("open", "closed")


class JobIn(Body):
    """A job to open."""

    number = fields.Code(required=True)
    title = fields.Text(required=True)
    craft = fields.Text(required=True)
    structural = fields.Choice(STRUCTURAL, load_default="unknown")
    authority = fields.Text()
    at = fields.Moment(metadata={"description": "When it was opened, if not now."})


class JobChange(Body):
    """What may be changed of a job."""

    title = fields.Text()
    craft = fields.Text()
    structural = fields.Choice(STRUCTURAL)
    authority = fields.Text()
    state = fields.Choice(STATES)
    reason = fields.Text()


class JobOut(Answer):
    """A job and where it stands."""

    number = fields.Code(required=True)
    title = fields.Text(required=True)
    craft = fields.Text(required=True)
    structural = fields.Choice(STRUCTURAL)
    authority = fields.Text(allow_none=True)
    state = fields.Choice(STATES, required=True)
    opened_at = fields.Moment()
    closed_at = fields.Moment(allow_none=True)
    close_reason = fields.Text(allow_none=True)
    version = fields.Integer(required=True)


class JobPage(paging.Page):
    """Which jobs to list."""

    state = fields.Choice(STATES, load_default=None)


@blp.route("")
class Jobs(MethodView):
    """The yard's jobs."""

    @blp.arguments(JobPage, location="query")
    @reads()
    @blp.response(200, paging.listing(JobOut))
    def get(self, query: Loaded) -> paging.Listed:
        """List jobs, newest first."""
        return paging.page(
            query, lambda a, n: open_job.list_jobs(a, n, query["state"]), itemgetter("id")
        )

    @blp.arguments(JobIn)
    @writes(role="hand")
    @blp.response(201, JobOut)
    def post(self, body: Loaded) -> Any:
        """Open a job."""
        job = open_job.open_job(**body, now=now(), hand=hand())
        return job, 201, {"Location": f"/v1/jobs/{job['number']}"} | versions.etag(job["version"])


@blp.route("/<code:number>")
class Job(MethodView):
    """One job."""

    @reads()
    @blp.response(200, JobOut)
    def get(self, number: str) -> Any:
        """Show a job."""
        job = open_job.show_job(finding.job(number))
        return job, 200, versions.etag(job["version"])

    @blp.arguments(JobChange)
    @writes(role="lead", versioned=True)
    @blp.response(200, JobOut)
    def patch(self, body: Loaded, number: str) -> Any:
        """Change a job, or close it."""
        row = finding.job(number)
        versions.match(row.version)
        job = open_job.change_job(row, **body, now=now(), hand=hand())
        return job, 200, versions.etag(job["version"])
