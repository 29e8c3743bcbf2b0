"""Bays: places with a temperature of their own, and their readings."""

from __future__ import annotations

from datetime import UTC, datetime
from functools import partial, wraps
from typing import Any

from flask import Response
from flask.views import MethodView

from ...acts.bays.bay import BayView, add_bay, change_bay, list_bays, show_bay
from ...acts.bays.readings import ReadingsView, ReadingView, check, list_readings, record
from ...acts.bays.take_back import TakenBackView, take_back_reading
from ...acts.yard import finding
from ...core.amounts.quantities import DIFFERENCE, TEMPERATURE, TIME
from ...store.engine.turns import Turn
from .. import fields
from ..context.request import hand, now, zone
from ..fields.schemas import Body, Loaded, PlainBody
from ..fields.views import answer
from ..files import bare_reading
from ..http import paging, versions
from ..http.access import Method, reads, writes
from ..http.blueprint import Blueprint
from . import logger_file
from .bodies import ReasonIn

blp = Blueprint(
    "bays", __name__, url_prefix="/v1/bays", description="Places and their temperatures."
)

MOST_READINGS = 200_000
TEXTS = {
    "text/plain": bare_reading.TEXT_SHAPE,
    "application/x-www-form-urlencoded": bare_reading.FORM_SHAPE,
}
"""What a small device may send instead of JSON."""


class BayChange(Body):
    """What may be changed of a bay; a new pattern holds from now on."""

    title = fields.Text()
    day = fields.Quantity(TEMPERATURE)
    night = fields.Quantity(TEMPERATURE)
    day_from = fields.TimeOfDay()
    day_until = fields.TimeOfDay()
    uncertainty = fields.Quantity(DIFFERENCE)
    checked_on = fields.Day()
    in_the_open = fields.Flag()
    gap_max = fields.Quantity(TIME, positive=True)


class BayIn(BayChange):
    """A bay to add, with what it is taken to be when nobody measures."""

    code = fields.Code(required=True)
    title = fields.Text(required=True)
    day = fields.Quantity(TEMPERATURE, required=True)
    night = fields.Quantity(TEMPERATURE, required=True)
    day_from = fields.TimeOfDay(required=True)
    day_until = fields.TimeOfDay(required=True)


class ReadingIn(PlainBody):
    """One reading; `replaces` with a `reason` corrects one that differs."""

    at = fields.Moment(required=True)
    temperature = fields.Quantity(TEMPERATURE, required=True)
    humidity_percent = fields.Number(above=0, most=100)
    replaces = fields.Flag()
    reason = fields.Text()


class ReadingsIn(Body):
    """Readings, all of them or none."""

    readings = fields.List(fields.Nested(ReadingIn), least=1, most=MOST_READINGS, required=True)
    probe = fields.Flag(
        load_default=False,
        metadata={"description": "Whether a probe sent them by itself, as a sensor always does."},
    )

    texts = TEXTS

    def from_csv(self, text: str) -> Loaded:
        """The object that a logger's table stands for."""
        return {"readings": logger_file.readings(text, zone())}

    def from_text(self, media_type: str, text: str) -> Loaded:
        """The object that a small device's text or form stands for: one reading, as of now."""
        read = bare_reading.of_text if media_type == "text/plain" else bare_reading.of_form
        moment = datetime.fromtimestamp(now(), UTC).isoformat()
        return {"readings": [{"at": moment, **read(text)}], "probe": True}


class ReadingWithdrawalIn(ReasonIn):
    """Why a reading is taken back, and with how many."""

    whole_entry = fields.Flag(
        load_default=False,
        metadata={"description": "With all that was entered with it, as a logger's file."},
    )


@blp.route("")
class Bays(MethodView):
    """The yard's bays."""

    @blp.arguments(paging.Page, location="query")
    @reads()
    @blp.response(200, paging.listing(answer(BayView)))
    def get(self, query: Loaded) -> paging.Listed:
        """List bays."""
        return paging.page(query, partial(list_bays, now=now()))

    @blp.arguments(BayIn)
    @writes(role="lead")
    @blp.response(201, answer(BayView))
    def post(self, body: Loaded) -> Any:
        """Add a bay."""
        bay = add_bay(**body, now=now(), hand=hand())
        return bay, 201, {"Location": f"/v1/bays/{bay.code}"} | versions.etag(bay.version)


@blp.route("/<code:code>")
class Bay(MethodView):
    """One bay."""

    @reads()
    @blp.response(200, answer(BayView))
    def get(self, code: str) -> Any:
        """Show a bay."""
        bay = show_bay(finding.bay(code), now())
        return bay, 200, versions.etag(bay.version)

    @blp.arguments(BayChange)
    @writes(role="lead", versioned=True)
    @blp.response(200, answer(BayView))
    def patch(self, body: Loaded, code: str) -> Any:
        """Change a bay; a new day/night pattern holds from now on."""
        row = finding.bay(code)
        versions.match(row.version)
        bay = change_bay(row, **body, now=now(), hand=hand())
        return bay, 200, versions.etag(bay.version)


def checked(post: Method) -> Method:
    """Check the readings of a body before the store is locked."""

    @wraps(post)
    def posted(self: Any, body: Loaded, code: str) -> Response:
        made = check(**body, now=now(), hand=hand())
        return post(self, body | {"readings": made}, code)

    return posted


@blp.route("/<code:code>/readings")
class Readings(MethodView):
    """The readings of a bay."""

    @blp.arguments(paging.Page, location="query")
    @reads()
    @blp.response(200, paging.listing(answer(ReadingView)))
    def get(self, query: Loaded, code: str) -> paging.Listed:
        """List a bay's readings, the last recorded first."""
        bay = finding.bay(code)
        return paging.page(query, lambda a, n: list_readings(bay.id, a, n))

    @blp.arguments(ReadingsIn)
    @checked
    @writes(role="hand", sensor=True, turn=Turn.CLOCK)
    @blp.response(201, answer(ReadingsView))
    def post(self, body: Loaded, code: str) -> Any:
        """Record readings, one (also as bare text) or a logger's file: all or nothing."""
        return record(bay=code, **body, now=now(), hand=hand()), 201


@blp.route("/<code:code>/readings/<id:reading>/withdrawal")
class ReadingWithdrawal(MethodView):
    """The withdrawal of a reading."""

    @blp.arguments(ReadingWithdrawalIn)
    @writes(role="hand", turn=Turn.CLOCK)
    @blp.response(201, answer(TakenBackView))
    def post(self, body: Loaded, code: str, reading: int) -> Any:
        """Take back a reading; an earlier one of the same moment counts again."""
        row = finding.bay(code)
        told = take_back_reading(row, reading, **body, now=now(), hand=hand())
        return told, 201
