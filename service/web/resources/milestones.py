"""The stream of milestones: an event as each is reached, so that a bell can ring."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from typing import Any

from flask import Response, copy_current_request_context, current_app, request
from flask.views import MethodView

from ...acts.wall import announce
from ...acts.wall.announce import Lookout, ReachedView
from ...core.errors import Refusal
from ...store.engine.faults import StoreUnusable
from .. import fields
from ..context import streams
from ..context.house import house
from ..context.people import by_bearer_or_pass
from ..fields.schemas import Loaded, Query
from ..fields.views import answer
from ..http.access import reads
from ..http.blueprint import Blueprint

blp = Blueprint(
    "milestones",
    __name__,
    url_prefix="/v1/milestones",
    description="A stream, for a bell or a lamp.",
)

LONGEST_S = 600
TICK_S = 2.0
HEARTBEAT_S = 15.0
GONE = "waitress.client_disconnected"
"""In a request's environment, where the server provides it: a call that tells whether the receiver
has gone."""


class StreamQuery(Query):
    """How long to listen."""

    seconds = fields.Integer(least=0, most=LONGEST_S, load_default=LONGEST_S)


class Resumed(Query):
    """The last event that a receiver had before it comes back."""

    class Meta:
        unknown = "exclude"

    last = fields.Integer(least=0, data_key="Last-Event-ID", load_default=None)


@blp.route("")
class Milestones(MethodView):
    """Milestones, as each is reached."""

    @blp.arguments(StreamQuery, location="query")
    @blp.arguments(Resumed, location="headers")
    @reads(by_pass=True)
    @blp.response(200, streams.STREAM, content_type=streams.MEDIA_TYPE)
    def get(self, query: Loaded, resumed: Loaded) -> Response:
        """Stream server-sent events: each milestone once, at its moment rounded inwards.

        A receiver that reconnects with Last-Event-ID gets the events since then. With `seconds=0`
        the stream then ends; else it ends after so many seconds, or after ten minutes.
        """
        open_ = house().streams
        open_.begin()
        until = time.monotonic() + query["seconds"]
        gone = request.environ.get(GONE, bool)
        tick = copy_current_request_context(_tick)

        def goes_on() -> bool:
            rest = until - time.monotonic()
            return rest > 0 and open_.rest(min(TICK_S, rest)) and not gone()

        stream = Response(
            _told(tick, goes_on, resumed["last"]),
            content_type=streams.MEDIA_TYPE,
            headers=streams.HEADERS,
        )
        stream.call_on_close(open_.end)
        return stream


def _told(tick: Any, goes_on: Callable[[], bool], last: int | None) -> Iterator[str]:
    """The text of a stream. It ends when the store can't be used, or the token is no longer good.

    Args:
        tick: `_tick` in the request's context. goes_on: rests, and says whether to look again.
    """
    lookout, beat = Lookout(), time.monotonic()
    try:
        last, text = tick(lookout, last, beginning=True)
        yield text
        while goes_on():
            last, text = tick(lookout, last)
            if not text and time.monotonic() - beat >= HEARTBEAT_S:
                text = streams.HEARTBEAT
            if text:
                beat = time.monotonic()
                yield text
    except (Refusal, StoreUnusable):
        return  # the receiver comes back, and the answer then tells it why


def _tick(lookout: Lookout, last: int | None, beginning: bool = False) -> tuple[int, str]:
    """The id of the newest event, and the text of all events after the event `last`."""
    lookout.tell(now=house().clock(), hand=by_bearer_or_pass().hand)
    if beginning:
        newest = announce.last_told()
        last = newest if last is None else min(last, newest)
    told = announce.told_after(last or 0)
    events = [streams.event(each.id, _data(each)) for each in told]
    head = [streams.beginning(last or 0)] if beginning else []
    return (told[-1].id if told else last or 0), "".join([*head, *events])


def _data(told: ReachedView) -> str:
    return current_app.json.dumps(answer(ReachedView)().dump(told))
