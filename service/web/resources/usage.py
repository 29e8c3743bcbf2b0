"""Usage: what a job used, for whoever must vouch for it."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from ...acts.bays.air import WarmthView
from ...acts.jobs import usage
from ...acts.stock.lot import BASIS_MEANS, MoneyView
from ...acts.yard import finding
from ...core.amounts.quantities import COUNT, DOSE_MASS, LENGTH, MASS, SIZE, TEMPERATURE
from ...core.cure.preparation import FACES
from ...core.stock.lots import BASES
from .. import fields
from ..context.request import now
from ..fields.schemas import Answer
from ..fields.views import answer
from ..http.access import reads
from .batches import PotSeenOut
from .gates import blp as blp
from .jobs import STATES, STRUCTURAL
from .layups import MilestonesOut, PostCuredOut, SeenOut, WindowOut
from .traces import CupOut

IN_STOCK = (MASS, LENGTH, COUNT)


class UsedProduct(Answer):
    """Planned against drawn."""

    product = fields.Code(required=True)
    name = fields.Text()
    planned = fields.AnyQuantity(IN_STOCK)
    drawn = fields.AnyQuantity(
        IN_STOCK, metadata={"description": "Less what was brought back; offcuts of sheets apart."}
    )
    wasted = fields.AnyQuantity(IN_STOCK)


class UsedLot(Answer):
    """What of a lot a job used, when, whether it was in date then, and what that cost."""

    id = fields.Integer(required=True)
    product = fields.Code()
    number = fields.Code()
    container = fields.Text()
    used = fields.AnyQuantity(
        IN_STOCK, metadata={"description": "Less what was brought back of it, as a piece too."}
    )
    used_from = fields.Moment()
    used_until = fields.Moment()
    received_on = fields.Day()
    made_on = fields.Day(allow_none=True)
    expires_on = fields.Day(allow_none=True)
    good_until_then = fields.Day(allow_none=True)
    good_until_basis = fields.Choice(BASES, metadata={"description": BASIS_MEANS})
    in_date_then = fields.Flag(allow_none=True)
    cup_tests = fields.List(fields.Nested(CupOut))
    cost = fields.Nested(answer(MoneyView), allow_none=True)


class PotDraw(Answer):
    """What went into a pot from a lot."""

    lot = fields.Integer(required=True)
    number = fields.Code()
    container = fields.Text()
    product = fields.Code()
    quantity = fields.AnyQuantity(IN_STOCK)


class UsedPot(Answer):
    """A pot that was mixed."""

    id = fields.Integer(required=True)
    resin = fields.Code()
    amount = fields.Quantity(DOSE_MASS)
    catalyst = fields.Code(allow_none=True)
    catalyst_mass = fields.Quantity(DOSE_MASS, allow_none=True)
    catalyst_percent = fields.Number(allow_none=True)
    temperature = fields.Quantity(TEMPERATURE)
    temperature_basis = fields.Text()
    factor = fields.Number()
    cup_test = fields.Integer(allow_none=True)
    draws = fields.List(fields.Nested(PotDraw))
    observations = fields.List(fields.Nested(PotSeenOut))
    mixed_at = fields.Moment()
    who = fields.Text()
    verified = fields.Flag()


class BondOut(Answer):
    """What a layup was laid on: how that stood, what it wanted first, and when it was sanded."""

    layup = fields.Integer(required=True)
    title = fields.Text()
    stand = fields.Choice(("before", "open", "past"))
    wanted = fields.List(fields.Text())
    sanded_at = fields.Moment(allow_none=True)
    warning = fields.Text(allow_none=True)


class UsedLayup(Answer):
    """What was laid up, and how warm it was until it was cured in full, or until now."""

    id = fields.Integer(required=True)
    title = fields.Text()
    kind = fields.Text()
    product = fields.Code()
    catalyst_percent = fields.Number(allow_none=True)
    bay = fields.Code()
    batches = fields.List(fields.Integer())
    applied_at = fields.Moment()
    finished_at = fields.Moment()
    surface_temperature = fields.Quantity(TEMPERATURE, allow_none=True)
    humidity_percent = fields.Number(allow_none=True)
    thickness = fields.Quantity(SIZE, allow_none=True)
    cover = fields.Text()
    over = fields.Integer(allow_none=True)
    over_surface = fields.Choice(FACES, allow_none=True)
    bond = fields.Nested(BondOut, allow_none=True)
    cured = fields.Nested(answer(WarmthView), allow_none=True)
    milestones = fields.Nested(MilestonesOut)
    window = fields.Nested(WindowOut, allow_none=True)
    observations = fields.List(fields.Nested(SeenOut))
    warnings = fields.List(fields.Text())
    post_cure = fields.Nested(PostCuredOut, allow_none=True)
    closed_at = fields.Moment(allow_none=True)
    closed_reason = fields.Text(allow_none=True)
    who = fields.Text()
    verified = fields.Flag()


class DidOut(Answer):
    """Who did what, how often; `verified` where a login proved the name."""

    who = fields.Text()
    verified = fields.Flag()
    did = fields.Text()
    times = fields.Integer()


class UsedOverride(Answer):
    """A refusal that was set aside for the job."""

    slug = fields.Text()
    reason = fields.Text()
    lot = fields.Integer(allow_none=True)
    batch = fields.Integer(allow_none=True)
    layup = fields.Integer(allow_none=True)
    who = fields.Text()
    verified = fields.Flag()
    at = fields.Moment()


class Returned(Answer):
    """What was brought back, and the lot that it went into or is since."""

    id = fields.Integer(required=True)
    product = fields.Code()
    number = fields.Code()
    container = fields.Text()
    offcut = fields.Flag(metadata={"description": "Whether it is a lot of its own since."})
    quantity = fields.AnyQuantity(IN_STOCK)
    at = fields.Moment()
    who = fields.Text()
    verified = fields.Flag()


class UsageOut(Answer):
    """What a job used."""

    job = fields.Code(required=True)
    title = fields.Text()
    craft = fields.Text()
    structural = fields.Choice(STRUCTURAL)
    authority = fields.Text(allow_none=True)
    state = fields.Choice(STATES)
    opened_at = fields.Moment()
    closed_at = fields.Moment(allow_none=True)
    products = fields.List(fields.Nested(UsedProduct), required=True)
    lots = fields.List(fields.Nested(UsedLot), required=True)
    returned = fields.List(fields.Nested(Returned))
    totals = fields.List(fields.Nested(answer(MoneyView)), required=True)
    warnings = fields.List(fields.Text())
    batches = fields.List(fields.Nested(UsedPot))
    layups = fields.List(fields.Nested(UsedLayup))
    people = fields.List(fields.Nested(DidOut))
    overrides = fields.List(fields.Nested(UsedOverride))
    cautions = fields.List(fields.Text())


@blp.route("/<code:number>/usage")
class Usage(MethodView):
    """The surveyor's page."""

    @reads()
    @blp.response(200, UsageOut)
    def get(self, number: str) -> Any:
        """Show what a job used: lots, waste, cost, temperatures while it cured, who did what."""
        return usage.usage(finding.job(number), now())
