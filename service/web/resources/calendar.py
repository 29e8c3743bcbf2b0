"""The calendar, and the feeds that phones subscribe to. A feed's address is shown once."""

from __future__ import annotations

from typing import Any

from flask import Response, request
from flask.views import MethodView

from ...acts.wall import calendar
from ...acts.yard import feeds
from ...acts.yard.feeds import FeedView
from ...acts.yard.settings import show_yard
from ...core.frozen import frozen
from .. import fields
from ..context.request import hand, now
from ..fields.schemas import Body, Loaded, Query
from ..fields.views import answer
from ..files import calendar as calendar_file
from ..http import paging
from ..http.access import reads, writes
from ..http.blueprint import Blueprint

blp = Blueprint(
    "calendar", __name__, url_prefix="/v1", description="Milestones, for a phone's calendar."
)


class Whose(Query):
    """Whose layups, and which events."""

    job = fields.Code(load_default=None)
    bay = fields.Code(load_default=None)
    all = fields.Flag(
        load_default=False,
        metadata={"description": "Whether each milestone is an event, not only what needs a hand."},
    )


class FeedIn(Body):
    """A feed of a job's layups, of those in a bay, or without either of all the yard's layups."""

    job = fields.Code()
    bay = fields.Code()


class FeedEndIn(Body):
    """Why a feed is revoked."""

    reason = fields.Text(load_default=None)


@frozen
class NewFeedView(FeedView):
    """A feed just made, with the address that is never shown again."""

    address: str


@blp.route("/calendar.ics")
class Calendar(MethodView):
    """Milestones of the layups that are watched."""

    @blp.arguments(Whose, location="query")
    @reads()
    @blp.response(200, {"type": "string"}, content_type=calendar_file.MEDIA_TYPE)
    def get(self, query: Loaded) -> Response:
        """Give what needs a hand as RFC 5545 events, with an alarm before a window closes."""
        whose = {name: query[name] for name in ("job", "bay")}
        told = calendar.calendar(now(), **whose, everything=query["all"])
        return calendar_file.answer(told)


@blp.route("/feeds")
class Feeds(MethodView):
    """Calendars with a secret address of their own."""

    @blp.arguments(paging.Page, location="query")
    @reads(role="hand")
    @blp.response(200, paging.listing(answer(FeedView)))
    def get(self, query: Loaded) -> paging.Listed:
        """List feeds, revoked ones too, newest first."""
        return paging.page(query, feeds.list_feeds)

    @blp.arguments(FeedIn)
    @writes(role="hand", shown_once="address")
    @blp.response(201, answer(NewFeedView))
    def post(self, body: Loaded) -> Any:
        """Make a feed; its address is in this answer alone, so a retry with its key is refused."""
        feed, secret = feeds.add_feed(**body, now=now(), hand=hand())
        base = (show_yard().address or request.host_url).rstrip("/")
        return NewFeedView(**vars(feed), address=f"{base}/calendar/{secret}.ics"), 201


@blp.route("/feeds/<id:feed>/revocation")
class FeedRevocation(MethodView):
    """The revocation of a feed."""

    @blp.arguments(FeedEndIn)
    @writes(role="hand")
    @blp.response(201, answer(FeedView))
    def post(self, body: Loaded, feed: int) -> Any:
        """Revoke a feed for good: one's own; a lead also another's. It stays on record."""
        return feeds.revoke_feed(feed, **body, now=now(), hand=hand()), 201
