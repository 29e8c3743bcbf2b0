"""Photographs of jobs, findings, layups and lots: kept, listed, shown, taken back."""

from __future__ import annotations

from dataclasses import replace
from functools import wraps
from typing import Any

from flask import Response, request
from flask.views import MethodView

from ...acts.jobs import photographs
from ...acts.jobs.photographs import KeptPhotographView, PhotographView, Thing
from ...acts.wetness import findings
from ...acts.yard import finding
from ...store.photographs import Photograph as PhotographRow
from .. import fields
from ..context.request import hand, now
from ..fields.schemas import Loaded, Query
from ..fields.views import answer
from ..files import pictures
from ..files.pictures import Picture
from ..http import keys, paging
from ..http.access import Method, access_of, marked, reads, writes
from ..http.blueprint import Blueprint
from ..http.bodies import IMAGE, IMAGES
from ..problems import MediaType
from .bodies import ReasonIn

blp = Blueprint(
    "photographs", __name__, url_prefix="/v1", description="Photographs of jobs, layups and lots."
)

JPEG = IMAGES[0]
PHOTOGRAPHS = paging.listing(answer(PhotographView))


class ShowsQuery(Query):
    """What a photograph shows."""

    shows = fields.Text(required=True)


def pictured(method: Method) -> Method:
    """Read a method's photograph before the store is locked, and pass it on after the query.

    Raises:
        MediaType: the body's header does not say a JPEG or a PNG, or it is compressed.
        Invalid, Busy: as `pictures.read`.
    """

    @wraps(method)
    def given(self: Any, query: Loaded, **address: Any) -> Response:
        if request.mimetype not in IMAGES or request.content_encoding:
            raise MediaType(
                "The body must be a photograph.",
                advice=f"Send its bytes with Content-Type: {' or '.join(IMAGES)}.",
            )
        picture = pictures.read(request.stream)
        keys.body_is(f"{picture.sent_sha256} {query['shows']}")
        return method(self, query, picture, **address)

    access = access_of(method)
    assert access is not None  # noqa: S101 (`writes` stands below)
    return marked(given, replace(access, pictures=True))


@blp.route("/jobs/<code:number>/photographs")
class PhotographsOfJob(MethodView):
    """Photographs of a job and of its layups."""

    @blp.arguments(paging.Page, location="query")
    @reads()
    @blp.response(200, PHOTOGRAPHS)
    def get(self, query: Loaded, number: str) -> paging.Listed:
        """List the photographs of a job and of its layups, newest first."""
        return _listed(query, finding.job(number))

    @blp.arguments(ShowsQuery, location="query")
    @pictured
    @writes(role="hand")
    @blp.response(201, answer(KeptPhotographView))
    def post(self, query: Loaded, picture: Picture, number: str) -> Any:
        """Keep a photograph of a job; the same one is kept once."""
        return _kept(finding.job(number), picture, query)


@blp.route("/jobs/<code:number>/findings/<id:record>/photographs")
class PhotographsOfFinding(MethodView):
    """Photographs of a finding."""

    @blp.arguments(paging.Page, location="query")
    @reads()
    @blp.response(200, PHOTOGRAPHS)
    def get(self, query: Loaded, number: str, record: int) -> paging.Listed:
        """List the photographs of a finding, newest first."""
        return _listed(query, findings.of_job(finding.job(number), record))

    @blp.arguments(ShowsQuery, location="query")
    @pictured
    @writes(role="hand")
    @blp.response(201, answer(KeptPhotographView))
    def post(self, query: Loaded, picture: Picture, number: str, record: int) -> Any:
        """Keep a photograph of a finding, eight at most; the same one is kept once."""
        return _kept(findings.of_job(finding.job(number), record), picture, query)


@blp.route("/layups/<id:layup>/photographs")
class PhotographsOfLayup(MethodView):
    """Photographs of a layup."""

    @blp.arguments(paging.Page, location="query")
    @reads()
    @blp.response(200, PHOTOGRAPHS)
    def get(self, query: Loaded, layup: int) -> paging.Listed:
        """List the photographs of a layup, newest first."""
        return _listed(query, finding.layup(layup))

    @blp.arguments(ShowsQuery, location="query")
    @pictured
    @writes(role="hand")
    @blp.response(201, answer(KeptPhotographView))
    def post(self, query: Loaded, picture: Picture, layup: int) -> Any:
        """Keep a photograph of a layup; the same one is kept once."""
        return _kept(finding.layup(layup), picture, query)


@blp.route("/lots/<id:lot>/photographs")
class PhotographsOfLot(MethodView):
    """Photographs of a lot."""

    @blp.arguments(paging.Page, location="query")
    @reads()
    @blp.response(200, PHOTOGRAPHS)
    def get(self, query: Loaded, lot: int) -> paging.Listed:
        """List the photographs of a lot, newest first."""
        return _listed(query, finding.lot(lot))

    @blp.arguments(ShowsQuery, location="query")
    @pictured
    @writes(role="hand")
    @blp.response(201, answer(KeptPhotographView))
    def post(self, query: Loaded, picture: Picture, lot: int) -> Any:
        """Keep a photograph of a lot; the same one is kept once."""
        return _kept(finding.lot(lot), picture, query)


@blp.route("/photographs/<id:photograph>")
class Photograph(MethodView):
    """One photograph."""

    @reads()
    @blp.response(200, answer(PhotographView))
    def get(self, photograph: int) -> Any:
        """Show what is known of a photograph."""
        return photographs.show_photograph(finding.photograph(photograph))


@blp.route("/photographs/<id:photograph>/image")
class PhotographImage(MethodView):
    """The picture itself."""

    @reads()
    @blp.response(200, dict(IMAGE), content_type=JPEG)
    def get(self, photograph: int) -> Response:
        """Show the picture; one that was taken back is not found."""
        return image(finding.photograph(photograph))


@blp.route("/photographs/<id:photograph>/withdrawal")
class PhotographWithdrawal(MethodView):
    """The withdrawal of a photograph."""

    @blp.arguments(ReasonIn)
    @writes(role="hand")
    @blp.response(201, answer(PhotographView))
    def post(self, body: Loaded, photograph: int) -> Any:
        """Take a photograph back: it stays on record, and its picture is not shown any more."""
        row = finding.photograph(photograph)
        return photographs.take_back_photograph(row, **body, now=now(), hand=hand()), 201


def image(row: PhotographRow) -> Response:
    """The JPEG of a photograph: for whoever asked alone, and asked for again each time.

    Raises: NotFound: it was taken back.
    """
    response = Response(photographs.image_of(row), mimetype=JPEG)
    response.headers["Cache-Control"] = "private, no-cache"  # it may be taken back
    response.headers["Content-Disposition"] = f'inline; filename="photograph-{row.id}.jpg"'
    response.set_etag(row.sha256)
    response.make_conditional(request)
    return response


def _listed(query: Loaded, of: Thing) -> paging.Listed:
    return paging.page(query, lambda after, n: photographs.list_photographs(of, after, n))


def _kept(of: Thing, picture: Picture, query: Loaded) -> Any:
    shown = photographs.keep_photograph(of, **picture.kept, **query, now=now(), hand=hand())
    return shown, 201, {"Location": f"/v1/photographs/{shown.id}"}
