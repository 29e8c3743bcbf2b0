"""Leak tests of a job's bags."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from ...acts.cure import leak_tests
from ...acts.cure.leak_tests import LeakTestView, LeakTestWithWarningsView
from ...acts.yard import finding
from ...acts.yard.taken_back import WithdrawnView
from ...core.amounts.quantities import PRESSURE
from .. import fields
from ..context.request import hand, now
from ..fields.schemas import Body, Loaded
from ..fields.views import answer
from ..http import paging
from ..http.access import reads, writes
from .bodies import ReasonIn
from .jobs import blp as blp


class LeakTestIn(Body):
    """The vacuum of a dry bag, read twice with the valve to its pump shut."""

    place = fields.Text(required=True, most=80)
    first = fields.Quantity(PRESSURE, required=True)
    first_at = fields.Moment(required=True)
    second = fields.Quantity(PRESSURE, required=True)
    second_at = fields.Moment()
    absolute = fields.Flag(load_default=False)
    air_pressure = fields.Quantity(PRESSURE)
    note = fields.Text(most=1000)


@blp.route("/<code:number>/leak-tests")
class LeakTests(MethodView):
    """The leak tests of a job."""

    @blp.arguments(paging.Page, location="query")
    @reads()
    @blp.response(200, paging.listing(answer(LeakTestView)))
    def get(self, query: Loaded, number: str) -> paging.Listed:
        """List a job's leak tests, the last recorded first."""
        job = finding.job(number)
        return paging.page(query, lambda a, n: leak_tests.list_leak_tests(job, a, n))

    @blp.arguments(LeakTestIn)
    @writes(role="hand")
    @blp.response(201, answer(LeakTestWithWarningsView))
    def post(self, body: Loaded, number: str) -> Any:
        """Record the leak test of a bag; one that fails is kept, and says why."""
        job = finding.job(number)
        return leak_tests.record_leak_test(job, **body, now=now(), hand=hand()), 201


@blp.route("/<code:number>/leak-tests/<id:record>/withdrawal")
class LeakTestWithdrawal(MethodView):
    """The withdrawal of a leak test."""

    @blp.arguments(ReasonIn)
    @writes(role="hand")
    @blp.response(201, answer(WithdrawnView))
    def post(self, body: Loaded, number: str, record: int) -> Any:
        """Take back a leak test; it stays on record."""
        job = finding.job(number)
        back = leak_tests.take_back_leak_test
        return back(job, record, **body, now=now(), hand=hand()), 201
