"""Layups: what was laid up, how it cures, and what hands saw of it."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from flask.views import MethodView

from ...acts.cure import change_layup, lay_up, lists, observe, probes, take_back, watch
from ...acts.cure.budget import budget_of
from ...acts.cure.show import KINDS, LayupView, show_layup
from ...acts.yard import finding
from ...core.amounts.quantities import PRESSURE, SIZE, TEMPERATURE
from ...core.cure.compatibility import FACES
from ...core.cure.layer import COVERS
from ...core.cure.post_cure import MOST_PROBES
from ...core.products.hardness import CONDITIONS, SCALES
from ...core.products.hardness import FACES as READ_FACES
from ...store.engine.turns import Turn
from .. import fields
from ..context.request import hand, now
from ..fields.schemas import Body, Loaded, Query
from ..fields.views import answer
from ..http import paging, versions
from ..http.access import reads, writes
from ..http.blueprint import Blueprint
from .bodies import ReasonIn

blp = Blueprint("layups", __name__, url_prefix="/v1/layups", description="Layups and their cure.")


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
    tight_width = fields.Quantity(SIZE, positive=True)
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

    kind = fields.Choice(observe.KINDS, required=True)
    at = fields.Moment()
    value = fields.Integer(least=0, most=100)
    readings = fields.List(fields.Integer(least=0, most=100), most=100)
    scale = fields.Choice(SCALES)
    face = fields.Choice(READ_FACES)
    wet_films = fields.List(fields.Quantity(SIZE, positive=True), least=1, most=30)
    met = fields.List(fields.Choice(CONDITIONS), most=len(CONDITIONS))
    pressure = fields.Quantity(PRESSURE)
    absolute = fields.Flag(load_default=False)
    air_pressure = fields.Quantity(PRESSURE)
    note = fields.Text(most=1000)
    override = fields.Nested(ReasonIn)


class ProbesIn(Body):
    """Bays whose readings tell a layup's own temperature."""

    bays = fields.List(fields.Code(), required=True, least=1, most=MOST_PROBES)
    on_part = fields.Flag(load_default=False)


class LayupPage(paging.Page):
    """Which layups to list."""

    job = fields.Code(load_default=None)
    bay = fields.Code(load_default=None)
    curing = fields.Flag(load_default=None)


class AsKnown(Query):
    """As of which moment, and whether to say why its moments are so unsure."""

    as_known_at = fields.Moment(load_default=None)
    budget = fields.Flag(load_default=False)


@blp.route("")
class Layups(MethodView):
    """The yard's layups."""

    @blp.arguments(LayupPage, location="query")
    @reads()
    @blp.response(200, paging.listing(answer(LayupView)))
    def get(self, query: Loaded) -> paging.Listed:
        """List layups, newest first."""
        wanted = {name: query[name] for name in ("job", "bay", "curing")}
        return paging.page(query, lambda a, n: lists.list_layups(a, n, now(), **wanted))

    @blp.arguments(LayupIn)
    @writes(role="hand", turn=Turn.CLOCK)
    @blp.response(201, answer(LayupView))
    def post(self, body: Loaded) -> Any:
        """Record a layup; the answer says when the next layer can go on."""
        layup = lay_up.lay_up(**body, now=now(), hand=hand())
        where = {"Location": f"/v1/layups/{layup.id}"}
        return layup, 201, where | versions.etag(layup.version)


@blp.route("/<id:layup>")
class Layup(MethodView):
    """One layup."""

    @blp.arguments(AsKnown, location="query")
    @reads()
    @blp.response(200, answer(LayupView))
    def get(self, query: Loaded, layup: int) -> Any:
        """Show a layup as of now, or as it was shown at an earlier moment."""
        row = finding.layup(layup)
        watched = watch.watch(row, now(), query["as_known_at"])
        shown = show_layup(watched)
        if query["budget"]:
            shown = replace(shown, budget=budget_of(watched))
        return shown, 200, versions.etag(row.version)

    @blp.arguments(LayupChange)
    @writes(role="hand", versioned=True, turn=Turn.CLOCK)
    @blp.response(200, answer(LayupView))
    def patch(self, body: Loaded, layup: int) -> Any:
        """Move a layup to another bay, cover it, or correct its title."""
        row = finding.layup(layup)
        versions.match(row.version)
        shown = change_layup.change_layup(row, **body, now=now(), hand=hand())
        return shown, 200, versions.etag(shown.version)


@blp.route("/<id:layup>/observations")
class LayupObservations(MethodView):
    """Observations of a layup."""

    @blp.arguments(SeenIn)
    @writes(role="hand", turn=Turn.CLOCK)
    @blp.response(201, answer(LayupView))
    def post(self, body: Loaded, layup: int) -> Any:
        """Record what was seen or felt; it counts before the computed times."""
        return observe.observe_layup(finding.layup(layup), **body, now=now(), hand=hand()), 201


@blp.route("/<id:layup>/withdrawal")
class LayupWithdrawal(MethodView):
    """The withdrawal of a layup."""

    @blp.arguments(ReasonIn)
    @writes(role="hand", turn=Turn.CLOCK)
    @blp.response(201, answer(LayupView))
    def post(self, body: Loaded, layup: int) -> Any:
        """Record that a layup was not laid: the layer below is watched again."""
        row = finding.layup(layup)
        return take_back.take_back_layup(row, **body, now=now(), hand=hand()), 201


@blp.route("/<id:layup>/observations/<id:observation>/withdrawal")
class LayupObservationWithdrawal(MethodView):
    """The withdrawal of an observation of a layup."""

    @blp.arguments(ReasonIn)
    @writes(role="hand", turn=Turn.CLOCK)
    @blp.response(201, answer(LayupView))
    def post(self, body: Loaded, layup: int, observation: int) -> Any:
        """Take back an observation of a layup; a watch that it ended goes on."""
        row = finding.layup(layup)
        told = take_back.take_back_seen(row, observation, **body, now=now(), hand=hand())
        return told, 201


@blp.route("/<id:layup>/probes")
class LayupProbes(MethodView):
    """The probes of a layup's post-cure."""

    @blp.arguments(ProbesIn)
    @writes(role="hand", turn=Turn.CLOCK)
    @blp.response(201, answer(LayupView))
    def post(self, body: Loaded, layup: int) -> Any:
        """Name bays whose readings tell the layup's own temperature; the coolest counts."""
        row = finding.layup(layup)
        return probes.add_probes(row, **body, now=now(), hand=hand()), 201


@blp.route("/<id:layup>/probes/<id:probe>/withdrawal")
class LayupProbeWithdrawal(MethodView):
    """The withdrawal of a probe."""

    @blp.arguments(ReasonIn)
    @writes(role="hand", turn=Turn.CLOCK)
    @blp.response(201, answer(LayupView))
    def post(self, body: Loaded, layup: int, probe: int) -> Any:
        """Take a probe of a layup back: what it told does not count."""
        row = finding.layup(layup)
        return probes.take_back_probe(row, probe, **body, now=now(), hand=hand()), 201
