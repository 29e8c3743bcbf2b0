"""Layups: what lies curing, and what to do now."""

from __future__ import annotations

from operator import itemgetter
from typing import Any

from flask.views import MethodView

from ...acts.bays.air import AIR_BASES, ReadView
from ...acts.cure import lay_up, watch
from ...acts.pots import observe, take_back
from ...acts.products.cure_sheet_views import PostCureView
from ...acts.stock.lot import LotView
from ...acts.wall import now as what_now
from ...acts.yard import finding
from ...acts.yard.withdrawals import WithdrawnView
from ...core.amounts.quantities import DIFFERENCE, DOSE_MASS, SIZE, TEMPERATURE, TIME
from ...core.cure.milestones import NAMES
from ...core.cure.preparation import COVERS, FACES
from .. import fields
from ..context.request import hand, now
from ..fields.schemas import Answer, Body, Query
from ..fields.views import answer
from ..http import paging, versions
from ..http.access import reads, writes
from ..http.blueprint import Blueprint
from .movements import ReasonIn

layups = Blueprint("layups", __name__, url_prefix="/v1/layups", description="What lies curing.")
today = Blueprint("now", __name__, url_prefix="/v1/now", description="What to do now.")

KINDS = ("laminate", "coat", "bond", "pour")
OPEN_LATE = frozenset({"trim", "recoat_opens", "sandable", "full_cure"})
"""Milestones whose moments are rounded late; the others early."""


class LayupIn(Body):
    """Something laid down: of pots, or of a product that was not mixed here."""

    job = fields.Code(required=True)
    title = fields.Text(required=True)
    kind = fields.Choice(KINDS, required=True)
    bay = fields.Code(required=True)
    batches = fields.List(fields.Integer(least=1), least=1, most=50)
    product = fields.Code()
    catalyst = fields.Code()
    catalyst_percent = fields.Number(above=0, most=100)
    applied_at = fields.Moment()
    finished_at = fields.Moment()
    surface_temperature = fields.Quantity(TEMPERATURE)
    cover = fields.Choice(COVERS)
    thickness = fields.Quantity(SIZE, positive=True)
    over = fields.Integer(least=1)
    over_surface = fields.Choice(FACES)
    override = fields.Nested(ReasonIn)


class LayupChange(Body):
    """What may be changed of a layup."""

    title = fields.Text()
    bay = fields.Code()
    moved_at = fields.Moment()
    cover = fields.Choice(COVERS)
    finished_at = fields.Moment()


class SeenIn(Body):
    """What a hand saw or felt of a layup."""

    kind = fields.Choice(observe.LAYUP_KINDS, required=True)
    at = fields.Moment()
    value = fields.Integer(least=0, most=100)
    readings = fields.List(fields.Integer(least=0, most=100), most=100)
    note = fields.Text(most=1000)
    override = fields.Nested(ReasonIn)


class MilestoneEarly(Answer):
    """A moment with its band, rounded early; or null and why."""

    at = fields.Moment(rounding="down", allow_none=True)
    earliest = fields.Moment(rounding="down", allow_none=True)
    latest = fields.Moment(rounding="up", allow_none=True)
    basis = fields.Choice(("measured", "mixed", "assumed", "observed"))
    why = fields.Text()
    computed = fields.Moment(rounding="down")
    note = fields.Text()


class MilestoneLate(MilestoneEarly):
    """A moment with its band, rounded late; or null and why."""

    at = fields.Moment(rounding="up", allow_none=True)


MilestonesOut = Answer.from_dict(
    {name: fields.Nested(MilestoneLate if name in OPEN_LATE else MilestoneEarly) for name in NAMES},
    name="MilestonesOut",
)


class WindowOut(Answer):
    """The recoat window that holds at both edges of the band."""

    opens = fields.Moment(rounding="up", data_key="from", attribute="from")
    closes = fields.Moment(rounding="down", data_key="until", attribute="until")


class LaidPotOut(Answer):
    """A pot in its layup; it is `late` or `suspect` where something was seen wet past its time."""

    batch = fields.Integer(required=True)
    catalyst = fields.Code(allow_none=True)
    catalyst_percent = fields.Number(allow_none=True)
    factor = fields.Number()
    factor_basis = fields.Text()
    filled = fields.Flag()
    mixed_at = fields.Moment()
    gel = fields.Nested(MilestoneEarly)
    film = fields.Nested(MilestoneEarly)
    state = fields.Choice(("forecast", "gelled", "late", "suspect"))


class SeenOut(Answer):
    """What a hand saw or felt."""

    id = fields.Integer()
    kind = fields.Text()
    at = fields.Moment()
    value = fields.Integer(allow_none=True)
    readings = fields.List(fields.Integer(), allow_none=True)
    note = fields.Text(allow_none=True)
    who = fields.Text()
    verified = fields.Flag()
    recorded_at = fields.Moment()


class UnsaidOut(SeenOut):
    """What a hand noted, and took back."""

    withdrawn = fields.Nested(answer(WithdrawnView), required=True)


class NextOut(Answer):
    """What to do next."""

    action = fields.Choice(("wait", "touch", "coat", "prepare", "heat", "probe", "none"))
    text = fields.Text()
    at = fields.Moment(allow_none=True)
    cautions = fields.List(fields.Text())


class PostCuredOut(answer(PostCureView)):  # type: ignore[misc]
    """How much a layup has had, measured, of the post-cure that its sheet asks for."""

    measured = fields.Quantity(TIME)
    done = fields.Flag()
    done_at = fields.Moment(rounding="up", allow_none=True)


class LayupOut(Answer):
    """A layup as of now; `catalyst_percent` is null where its pots differ."""

    id = fields.Integer(required=True)
    job = fields.Code(required=True)
    craft = fields.Text()
    title = fields.Text(required=True)
    kind = fields.Choice(KINDS)
    bay = fields.Code()
    product = fields.Code()
    catalyst = fields.Code(allow_none=True)
    catalyst_percent = fields.Number(allow_none=True)
    batches = fields.List(fields.Integer())
    pots = fields.List(fields.Nested(LaidPotOut))
    applied_at = fields.Moment()
    finished_at = fields.Moment()
    cover = fields.Choice(COVERS)
    surface = fields.Text()
    over = fields.Integer(allow_none=True)
    over_surface = fields.Choice(FACES, allow_none=True)
    state = fields.List(fields.Text(), required=True)
    milestones = fields.Nested(MilestonesOut, required=True)
    window = fields.Nested(WindowOut, allow_none=True)
    next = fields.Nested(NextOut, required=True)
    warnings = fields.List(fields.Text())
    cautions = fields.List(fields.Text())
    post_cure = fields.Nested(PostCuredOut, allow_none=True)
    cure_revision = fields.Integer()
    observations = fields.List(fields.Nested(SeenOut))
    taken_back = fields.List(
        fields.Nested(UnsaidOut),
        metadata={"description": "What was noted of it and taken back: it counts no longer."},
    )
    withdrawn = fields.Nested(
        answer(WithdrawnView),
        allow_none=True,
        metadata={"description": "Of one that was not laid."},
    )
    closed_at = fields.Moment(allow_none=True)
    who = fields.Text()
    version = fields.Integer(required=True)


class ActionOut(Answer):
    """Something to do at a layup."""

    layup = fields.Integer()
    job = fields.Code()
    craft = fields.Text()
    title = fields.Text()
    action = fields.Text()
    text = fields.Text()
    at = fields.Moment(allow_none=True)
    closing = fields.Flag()


class UnlaidPotOut(Answer):
    """A pot that nobody laid up, lost or saw gel."""

    id = fields.Integer(required=True)
    job = fields.Code(required=True)
    craft = fields.Text()
    resin = fields.Code(required=True)
    amount = fields.Quantity(DOSE_MASS)
    mixed_at = fields.Moment(required=True)
    work_until = fields.Moment(rounding="down", required=True)
    gel_at_latest = fields.Moment(rounding="up", required=True, allow_none=True)
    text = fields.Text(required=True)
    cautions = fields.List(fields.Text())


class LotsToSeeTo(Answer):
    """Lots that are out of date, soon will be, or are held; good ones whose date nobody gave."""

    expired = fields.List(fields.Nested(answer(LotView)))
    soon = fields.List(fields.Nested(answer(LotView)))
    held = fields.List(fields.Nested(answer(LotView)))
    undated = fields.List(fields.Nested(answer(LotView)))


class AirOut(Answer):
    """A bay's air as of now."""

    code = fields.Code()
    title = fields.Text()
    temperature = fields.Quantity(TEMPERATURE)
    basis = fields.Choice(AIR_BASES)
    read = fields.Nested(answer(ReadView), required=True, allow_none=True)
    at = fields.Moment(allow_none=True)
    uncertainty = fields.Quantity(DIFFERENCE)


class NowOut(Answer):
    """The yard as of now."""

    at = fields.Moment(required=True)
    actions = fields.List(fields.Nested(ActionOut), required=True)
    layups = fields.List(fields.Nested(LayupOut), required=True)
    pots = fields.List(fields.Nested(UnlaidPotOut), required=True)
    lots = fields.Nested(LotsToSeeTo, required=True)
    bays = fields.List(fields.Nested(AirOut), required=True)


class LayupPage(paging.Page):
    """Which layups to list."""

    job = fields.Code(load_default=None)
    bay = fields.Code(load_default=None)
    curing = fields.Flag(load_default=None)


class AsKnown(Query):
    """As of which moment."""

    as_known_at = fields.Moment(load_default=None)


@layups.route("")
class Layups(MethodView):
    """What was laid down."""

    @layups.arguments(LayupPage, location="query")
    @reads()
    @layups.response(200, paging.listing(LayupOut))
    def get(self, query: dict[str, Any]) -> dict[str, Any]:
        """List layups, newest first."""
        wanted = {name: query[name] for name in ("job", "bay", "curing")}
        return paging.page(
            query, lambda a, n: lay_up.list_layups(a, n, now(), **wanted), itemgetter("id")
        )

    @layups.arguments(LayupIn)
    @writes(role="hand")
    @layups.response(201, LayupOut)
    def post(self, body: dict[str, Any]) -> Any:
        """Record what was laid down; the answer says when it can be covered."""
        layup = lay_up.lay_up(**body, now=now(), hand=hand())
        where = {"Location": f"/v1/layups/{layup['id']}"}
        return layup, 201, where | versions.etag(layup["version"])


@layups.route("/<id:layup>")
class Layup(MethodView):
    """One layup."""

    @layups.arguments(AsKnown, location="query")
    @reads()
    @layups.response(200, LayupOut)
    def get(self, query: dict[str, Any], layup: int) -> Any:
        """Show a layup as of now, or as a hand was told at a moment."""
        row = finding.layup(layup)
        shown = watch.show(watch.watch(row, now(), query["as_known_at"]))
        return shown, 200, versions.etag(row.version)

    @layups.arguments(LayupChange)
    @writes(role="hand", versioned=True)
    @layups.response(200, LayupOut)
    def patch(self, body: dict[str, Any], layup: int) -> Any:
        """Carry a layup to another bay, cover it, or correct its words."""
        row = finding.layup(layup)
        versions.match(row.version)
        shown = lay_up.change_layup(row, **body, now=now(), hand=hand())
        return shown, 200, versions.etag(shown["version"])


@layups.route("/<id:layup>/observations")
class LayupObservations(MethodView):
    """What hands saw of a layup."""

    @layups.arguments(SeenIn)
    @writes(role="hand")
    @layups.response(201, LayupOut)
    def post(self, body: dict[str, Any], layup: int) -> Any:
        """Record what was seen or felt; it outranks what was computed."""
        return observe.observe_layup(finding.layup(layup), **body, now=now(), hand=hand()), 201


@layups.route("/<id:layup>/withdrawal")
class LayupWithdrawal(MethodView):
    """A layup that was not laid."""

    @layups.arguments(ReasonIn)
    @writes(role="hand")
    @layups.response(201, LayupOut)
    def post(self, body: dict[str, Any], layup: int) -> Any:
        """Say that a layup was not laid: what it covered is watched again."""
        row = finding.layup(layup)
        return take_back.take_back_layup(row, **body, now=now(), hand=hand()), 201


@layups.route("/<id:layup>/observations/<id:observation>/withdrawal")
class LayupObservationWithdrawal(MethodView):
    """What was noted of a layup, taken back."""

    @layups.arguments(ReasonIn)
    @writes(role="hand")
    @layups.response(201, LayupOut)
    def post(self, body: dict[str, Any], layup: int, observation: int) -> Any:
        """Take back what was noted of a layup; what it ended goes on."""
        row = finding.layup(layup)
        told = take_back.take_back_seen(row, observation, **body, now=now(), hand=hand())
        return told, 201


@today.route("")
class Now(MethodView):
    """The yard at a glance."""

    @reads()
    @today.response(200, NowOut)
    def get(self) -> Any:
        """Say what to do now: windows, what can be sanded, pots not laid up, stock going off."""
        return what_now.what_now(now())
