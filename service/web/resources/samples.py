"""Film tests and weighed samples of a job."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from ...acts.wetness import samples
from ...acts.wetness.samples import (
    FilmTestView,
    FilmTestWithWarningsView,
    WeighedSampleView,
    WeighedSampleWithWarningsView,
)
from ...acts.wetness.taken_back import take_back
from ...acts.yard import finding
from ...acts.yard.taken_back import WithdrawnView
from ...core.amounts.quantities import DOSE_MASS
from .. import fields
from ..context.request import hand, now
from ..fields.schemas import Body, Loaded
from ..fields.views import answer
from ..http import paging
from ..http.access import reads, writes
from .bodies import ReasonIn
from .jobs import blp as blp


class FilmTestIn(Body):
    """Film that was taped over a place, and whether drops were under it."""

    place = fields.Text(required=True, most=80)
    taped_at = fields.Moment(required=True)
    looked_at = fields.Moment()
    drops = fields.Flag(required=True)


class WeighedSampleIn(Body):
    """A sample of a place, weighed as it was and again dried."""

    place = fields.Text(required=True, most=80)
    wet = fields.Quantity(DOSE_MASS, required=True, positive=True)
    dried = fields.Quantity(DOSE_MASS, required=True, positive=True)
    at = fields.Moment()


@blp.route("/<code:number>/film-tests")
class FilmTests(MethodView):
    """The film tests of a job."""

    @blp.arguments(paging.Page, location="query")
    @reads()
    @blp.response(200, paging.listing(answer(FilmTestView)))
    def get(self, query: Loaded, number: str) -> paging.Listed:
        """List a job's film tests, the last recorded first."""
        job = finding.job(number)
        return paging.page(query, lambda a, n: samples.list_films(job, a, n))

    @blp.arguments(FilmTestIn)
    @writes(role="hand")
    @blp.response(201, answer(FilmTestWithWarningsView))
    def post(self, body: Loaded, number: str) -> Any:
        """Record what was under a film."""
        job = finding.job(number)
        return samples.record_film(job, **body, now=now(), hand=hand()), 201


@blp.route("/<code:number>/film-tests/<id:record>/withdrawal")
class FilmTestWithdrawal(MethodView):
    """The withdrawal of a film test."""

    @blp.arguments(ReasonIn)
    @writes(role="hand")
    @blp.response(201, answer(WithdrawnView))
    def post(self, body: Loaded, number: str, record: int) -> Any:
        """Take back a film test; it stays on record."""
        job = finding.job(number)
        return take_back("film_test", job, record, **body, now=now(), hand=hand()), 201


@blp.route("/<code:number>/weighed-samples")
class WeighedSamples(MethodView):
    """The weighed samples of a job."""

    @blp.arguments(paging.Page, location="query")
    @reads()
    @blp.response(200, paging.listing(answer(WeighedSampleView)))
    def get(self, query: Loaded, number: str) -> paging.Listed:
        """List a job's weighed samples, the last recorded first."""
        job = finding.job(number)
        return paging.page(query, lambda a, n: samples.list_samples(job, a, n))

    @blp.arguments(WeighedSampleIn)
    @writes(role="hand")
    @blp.response(201, answer(WeighedSampleWithWarningsView))
    def post(self, body: Loaded, number: str) -> Any:
        """Record a weighed sample: its water in percent of its dried mass."""
        job = finding.job(number)
        return samples.record_sample(job, **body, now=now(), hand=hand()), 201


@blp.route("/<code:number>/weighed-samples/<id:record>/withdrawal")
class WeighedSampleWithdrawal(MethodView):
    """The withdrawal of a weighed sample."""

    @blp.arguments(ReasonIn)
    @writes(role="hand")
    @blp.response(201, answer(WithdrawnView))
    def post(self, body: Loaded, number: str, record: int) -> Any:
        """Take back a weighed sample; it stays on record."""
        job = finding.job(number)
        return take_back("weighed_sample", job, record, **body, now=now(), hand=hand()), 201
