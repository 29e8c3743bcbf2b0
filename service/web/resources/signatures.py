"""The signature of a job: what is still open before it, and the word itself."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from ...acts.jobs import sign
from ...acts.jobs.job import JobView
from ...acts.jobs.sign import SigningView
from ...acts.yard import finding
from .. import fields
from ..context.request import hand, now
from ..fields.schemas import Body, Loaded
from ..fields.views import answer
from ..http import versions
from ..http.access import reads, writes
from .jobs import blp as blp


class LeftIn(Body):
    """Something that stays open, and why."""

    item = fields.Text(required=True, most=200)
    reason = fields.Text(required=True)


class SignIn(Body):
    """A signature, with what stays open."""

    left = fields.List(fields.Nested(LeftIn), most=200, load_default=list)


@blp.route("/<code:number>/signature")
class Signature(MethodView):
    """The signature of a job."""

    @reads()
    @blp.response(200, answer(SigningView))
    def get(self, number: str) -> Any:
        """Show what is still open of a job before it is signed, and its signatures."""
        return sign.show_signing(finding.job(number), now())

    @blp.arguments(SignIn)
    @writes(role="lead")
    @blp.response(201, answer(JobView))
    def post(self, body: Loaded, number: str) -> Any:
        """Sign a job: it is closed, and nothing more is written to it. It is no certificate."""
        signed = sign.sign(finding.job(number), **body, now=now(), hand=hand())
        return signed, 201, versions.etag(signed.version)
