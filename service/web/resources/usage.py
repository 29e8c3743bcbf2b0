"""Usage: what a job used, for whoever must vouch for it."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from ...acts import finding, usage
from ...core.quantities import COUNT, DOSE_MASS, LENGTH, MASS, TEMPERATURE
from .. import fields
from ..access import reads
from ..request import now
from ..schemas import Answer
from .gates import blp as blp
from .lots import MoneyOut

IN_STOCK = (MASS, LENGTH, COUNT)


class UsedProduct(Answer):
    """Planned against drawn."""

    product = fields.Code(required=True)
    name = fields.Text()
    planned = fields.AnyQuantity(IN_STOCK)
    drawn = fields.AnyQuantity(IN_STOCK)
    wasted = fields.AnyQuantity(IN_STOCK)


class UsedLot(Answer):
    """What of a lot a job used, and what that cost."""

    id = fields.Integer(required=True)
    product = fields.Code()
    number = fields.Code()
    container = fields.Text()
    used = fields.AnyQuantity(IN_STOCK)
    expires_on = fields.Day(allow_none=True)
    cost = fields.Nested(MoneyOut, allow_none=True)


class UsedPot(Answer):
    """A pot that was mixed."""

    id = fields.Integer(required=True)
    resin = fields.Code()
    amount = fields.Quantity(DOSE_MASS)
    catalyst_percent = fields.Number(allow_none=True)
    temperature = fields.Quantity(TEMPERATURE)
    temperature_basis = fields.Text()
    mixed_at = fields.Moment()
    who = fields.Text()


class CuredOut(Answer):
    """How warm it was while a layup cured, until it was cured in full or now."""

    start = fields.Moment(data_key="from", attribute="from")
    until = fields.Moment()
    min = fields.Quantity(TEMPERATURE)
    mean = fields.Quantity(TEMPERATURE)
    max = fields.Quantity(TEMPERATURE)
    basis = fields.Choice(("measured", "mixed", "assumed"))


class UsedLayup(Answer):
    """What was laid up."""

    id = fields.Integer(required=True)
    title = fields.Text()
    kind = fields.Text()
    product = fields.Code()
    bay = fields.Code()
    applied_at = fields.Moment()
    cured = fields.Nested(CuredOut, allow_none=True)
    who = fields.Text()


class DidOut(Answer):
    """Who did what, how often."""

    who = fields.Text()
    did = fields.Text()
    times = fields.Integer()


class UsedOverride(Answer):
    """A refusal that was set aside for the job."""

    slug = fields.Text()
    reason = fields.Text()
    lot = fields.Integer(allow_none=True)
    who = fields.Text()
    at = fields.Moment()


class UsageOut(Answer):
    """What a job used."""

    job = fields.Code(required=True)
    title = fields.Text()
    craft = fields.Text()
    products = fields.List(fields.Nested(UsedProduct), required=True)
    lots = fields.List(fields.Nested(UsedLot), required=True)
    totals = fields.List(fields.Nested(MoneyOut), required=True)
    warnings = fields.List(fields.Text())
    batches = fields.List(fields.Nested(UsedPot))
    layups = fields.List(fields.Nested(UsedLayup))
    people = fields.List(fields.Nested(DidOut))
    overrides = fields.List(fields.Nested(UsedOverride))


@blp.route("/<code:number>/usage")
class Usage(MethodView):
    """The surveyor's page."""

    @reads()
    @blp.response(200, UsageOut)
    def get(self, number: str) -> Any:
        """Show what a job used: lots, waste, cost, temperatures while it cured, who did what."""
        return usage.usage(finding.job(number), now())
