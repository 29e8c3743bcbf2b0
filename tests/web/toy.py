"""A toy resource, to try the web layer where no noun of the trade stands in the way.

It keeps its things in the store's table of jobs, so that what a refusal must undo is real.
"""

from __future__ import annotations

from typing import Any

from cureyard_service.core.amounts import quantities as q
from cureyard_service.core.errors import AlreadyExists, NotFound
from cureyard_service.store import tables
from cureyard_service.web import fields
from cureyard_service.web.context.request import hand, now
from cureyard_service.web.fields.schemas import Answer, Body, Query
from cureyard_service.web.http import paging, versions
from cureyard_service.web.http.access import reads, writes
from cureyard_service.web.http.blueprint import Blueprint
from flask.views import MethodView

blp = Blueprint("toys", __name__, url_prefix="/v1/toys", description="Not of the trade.")


class PartIn(Body):
    """A part of a toy."""

    at = fields.Moment(required=True)
    width = fields.Quantity(q.SIZE, positive=True)


class ToyIn(Body):
    """A toy as it comes."""

    number = fields.Code(required=True)
    title = fields.Text(required=True, most=40)
    weight = fields.Quantity(q.MASS)
    amount = fields.AnyQuantity((q.MASS, q.VOLUME), or_all=True)
    percent = fields.Number(above=0, most=100)
    count = fields.Integer(least=1, most=9)
    made_on = fields.Day()
    kind = fields.Choice(("boat", "cart"))
    loud = fields.Flag(allow_none=True)
    note = fields.Text(lines=True)
    parts = fields.List(fields.Nested(PartIn), most=200)

    def from_csv(self, text: str) -> dict[str, str]:
        """A table of one line: number, title."""
        number, _, title = text.strip().partition(",")
        return {"number": number, "title": title}


class EchoIn(ToyIn):
    """A toy of which nothing need be said."""

    number = fields.Code()
    title = fields.Text(most=40)


class ToyChange(Body):
    """What may be changed of a toy."""

    title = fields.Text(required=True)


class ToyOut(Answer):
    """A toy as it stands."""

    id = fields.Integer()
    number = fields.Code()
    title = fields.Text()
    who = fields.Text()
    opened_at = fields.Moment()
    version = fields.Integer()


class EchoOut(Answer):
    """What a toy's body was read as, shown again."""

    weight = fields.Quantity(q.MASS)
    amount = fields.AnyQuantity((q.MASS, q.VOLUME))
    percent = fields.Number()
    made_on = fields.Day()
    opens = fields.Moment(rounding="up", allow_none=True)
    closes = fields.Moment(rounding="down", allow_none=True)


class EchoQuery(Query):
    """A query with a number in it."""

    second = fields.Number(load_default=0)


@blp.route("")
class Toys(MethodView):
    """All toys."""

    @blp.arguments(paging.Page, location="query")
    @reads()
    @blp.response(200, paging.listing(ToyOut))
    def get(self, page: dict[str, Any]) -> paging.Listed:
        """The toys, oldest first."""
        return paging.page(page, _after)

    @blp.arguments(ToyIn)
    @writes(role="hand")
    @blp.response(201, ToyOut)
    def post(self, body: dict[str, Any]) -> Any:
        """Put a toy in."""
        job = _make(body["number"], body["title"])
        headers = {"Location": f"/v1/toys/{job.number}", **versions.etag(job.version)}
        return _shown(job), 201, headers


@blp.route("/<code:number>")
class Toy(MethodView):
    """One toy."""

    @reads()
    @blp.response(200, ToyOut)
    def get(self, number: str) -> Any:
        """A toy."""
        job = _find(number)
        return _shown(job), 200, versions.etag(job.version)

    @blp.arguments(ToyChange)
    @writes(role="hand", versioned=True)
    @blp.response(200, ToyOut)
    def patch(self, body: dict[str, Any], number: str) -> Any:
        """Change a toy's title."""
        job = _find(number)
        versions.match(job.version)
        job.title = body["title"]
        job.version += 1
        job.save()
        return _shown(job), 200, versions.etag(job.version)

    @writes(role="admin")
    @blp.response(200, ToyOut)
    def delete(self, number: str) -> Any:
        """What only an admin may do."""
        return _shown(_find(number))


@blp.route("/echo")
class Echo(MethodView):
    """The fields, to and fro."""

    @blp.arguments(EchoQuery, location="query")
    @blp.arguments(EchoIn)
    @reads()
    @blp.response(200, EchoOut)
    def post(self, query: dict[str, Any], body: dict[str, Any]) -> dict[str, Any]:
        """Show what was read."""
        moment = query["second"]
        given = body.get("amount")
        amount = (given.value, given.kind) if isinstance(given, q.Given) else None
        return body | {"amount": amount, "opens": moment, "closes": moment}


@blp.route("/broken/<id:number>")
class Broken(MethodView):
    """What goes wrong inside."""

    @writes()
    @blp.response(201, ToyOut)
    def post(self, number: int) -> Any:
        """Write, and then fail in a way that nobody foresaw."""
        _make(f"B{number}", "half done")
        raise ZeroDivisionError("secret internals")


def _make(number: str, title: str) -> Any:
    if tables.Job.get_or_none(tables.Job.number_key == number.casefold()):
        raise AlreadyExists(f"There is a toy {number} already.", pointer="/number")
    return tables.Job.create(
        number=number, number_key=number.casefold(), title=title, craft="none",
        structural="no", opened_at=now(),
    )  # fmt: skip


def _find(number: str) -> Any:
    job = tables.Job.get_or_none(tables.Job.number_key == number.casefold())
    if job is None:
        raise NotFound(f"There is no toy {number}.")
    return job


def _after(after: int | None, limit: int) -> list[Any]:
    query = tables.Job.select().where(tables.Job.id > (after or 0)).order_by(tables.Job.id)
    return list(query.limit(limit))


def _shown(job: Any) -> dict[str, Any]:
    named = {name: getattr(job, name) for name in ("id", "number", "title", "version", "opened_at")}
    return named | {"who": hand().name}
