"""The calendar, and the feeds that phones subscribe to. A feed's address is shown once."""

from __future__ import annotations

from operator import itemgetter
from typing import Any

from flask import Response, request
from flask.views import MethodView

from ...acts.wall import calendar
from ...acts.yard import feeds
from ...acts.yard.settings import show_yard
from .. import fields
from ..context.request import hand, now
from ..fields.schemas import Answer, Body, Loaded, Query
from ..files import calendar as calendar_file
from ..http import paging
from ..http.access import reads, writes
from ..http.blueprint import Blueprint

blp = Blueprint(
    "calendar", __name__, url_prefix="/v1", description="Milestones as a calendar for phones."
)


class Whose(Query):
    """Whose layups."""

    job = fields.Code(load_default=None)
    bay = fields.Code(load_default=None)


class FeedIn(Body):
    """What a feed is of: a job's layups, those in a bay, or with neither all of the yard's."""

    job = fields.Code()
    bay = fields.Code()


class FeedEndIn(Body):
    """Why a feed is revoked."""

    reason = fields.Text(load_default=None)


class FeedOut(Answer):
    """A feed, without its address."""

    id = fields.Integer(required=True)
    job = fields.Code(required=True, allow_none=True)
    bay = fields.Code(required=True, allow_none=True)
    made_at = fields.Moment(required=True)
    made_by = fields.Text(required=True)
    revoked_at = fields.Moment(allow_none=True)
    revoked_by = fields.Text(allow_none=True)
    reason = fields.Text(allow_none=True)


class NewFeedOut(FeedOut):
    """A feed just made, with the address that is never shown again."""

    address = fields.Text(required=True)


@blp.route("/calendar.ics")
class Calendar(MethodView):
    """The milestones of the layups that are watched."""

    @blp.arguments(Whose, location="query")
    @reads()
    @blp.response(200, {"type": "string"}, content_type=calendar_file.MEDIA_TYPE)
    def get(self, query: Loaded) -> Response:
        """Give milestones as RFC 5545 events: times and titles, an alarm before a window closes."""
        return calendar_file.answer(calendar.calendar(now(), **query))


@blp.route("/feeds")
class Feeds(MethodView):
    """Calendars with a secret address of their own."""

    @blp.arguments(paging.Page, location="query")
    @reads(role="hand")
    @blp.response(200, paging.listing(FeedOut))
    def get(self, query: Loaded) -> paging.Listed:
        """List feeds, revoked ones too, newest first."""
        return paging.page(query, feeds.list_feeds, itemgetter("id"))

    @blp.arguments(FeedIn)
    @writes(role="hand", keyed=False)
    @blp.response(201, NewFeedOut)
    def post(self, body: Loaded) -> Any:
        """Make a feed; its address is in this answer alone."""
        made = feeds.add_feed(**body, now=now(), hand=hand())
        base = (show_yard().address or request.host_url).rstrip("/")
        return {**made, "address": f"{base}/calendar/{made['secret']}.ics"}, 201


@blp.route("/feeds/<id:feed>/revocation")
class FeedRevocation(MethodView):
    """The revocation of a feed."""

    @blp.arguments(FeedEndIn)
    @writes(role="hand")
    @blp.response(201, FeedOut)
    def post(self, body: Loaded, feed: int) -> Any:
        """Revoke a feed for good: one's own; a lead also another's. It stays on record."""
        return feeds.revoke_feed(feed, **body, now=now(), hand=hand()), 201
