"""Pour foam for a cavity; foam that keeps a swamped boat afloat."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from ....acts.estimates import flotation, foam
from ....core.amounts.quantities import AREA, DENSITY, MASS, SIZE, VOLUME
from ....core.estimates.buoyancy import K_OF
from ... import fields
from ...fields.schemas import Answer, Body, Loaded
from ...http.access import reads
from .base import blp
from .needed import needs_field


class FoamIn(Body):
    """A cavity as a box, as a prism, or by the water that fills it; its vents and its lift."""

    cavity = fields.Choice(("box", "prism", "water"), required=True)
    length = fields.Quantity(SIZE, positive=True)
    width = fields.Quantity(SIZE, positive=True)
    section = fields.Quantity(AREA, positive=True)
    water = fields.AnyQuantity((VOLUME, MASS), positive=True)
    depth = fields.Quantity(SIZE, required=True, positive=True)
    lift = fields.Quantity(SIZE, required=True, positive=True)
    vents = fields.Integer(least=0, most=1000, required=True)
    foam_density = fields.Quantity(DENSITY, positive=True)
    waste_percent = fields.Number(least=0, most=100)
    product = fields.Code()
    catalyst = fields.Code()


class FoamOut(Answer):
    """The kit, both parts together, and its lifts. Not a compliance figure."""

    product = fields.Code(allow_none=True)
    volume = fields.Quantity(VOLUME, required=True)
    foam_density = fields.Quantity(DENSITY, required=True)
    vents = fields.Integer(required=True)
    lifts = fields.Integer(required=True)
    lift = fields.Quantity(SIZE, required=True)
    kit = fields.Quantity(MASS, required=True)
    waste = fields.Quantity(MASS, required=True)
    mix = fields.Quantity(MASS, required=True)
    mix_a_lift = fields.Quantity(MASS, required=True)
    needs = needs_field()
    cautions = fields.List(fields.Text(), required=True)


class HullPartIn(Body):
    """What a part of the hull weighs dry, and what it is made of."""

    mass = fields.Quantity(MASS, required=True, positive=True)
    material = fields.Choice(tuple(K_OF))
    specific_gravity = fields.Number(least=0.05, most=25)


class FlotationIn(Body):
    """A boat for level flotation; 'capacity' is less what the handbook takes off for engines."""

    hull = fields.List(fields.Nested(HullPartIn), required=True, least=1, most=50)
    deck = fields.Quantity(MASS)
    engines = fields.Quantity(MASS)
    persons = fields.Quantity(MASS)
    capacity = fields.Quantity(MASS)
    foam_density = fields.Quantity(DENSITY, required=True, positive=True)
    take_up = fields.Quantity(DENSITY)


class FlotationOut(Answer):
    """Foam for hull, engines and persons; below zero it floats. Not a compliance figure."""

    lift = fields.Quantity(DENSITY, required=True)
    factors = fields.List(fields.Number(), required=True)
    hull = fields.Quantity(VOLUME, required=True)
    engines = fields.Quantity(VOLUME, required=True)
    persons = fields.Quantity(VOLUME, required=True)
    total = fields.Quantity(VOLUME, required=True)
    foam = fields.Quantity(MASS, required=True)
    cautions = fields.List(fields.Text(), required=True)


class BasicFlotationIn(Body):
    """A boat for basic flotation: its capacities, and its air chambers."""

    persons = fields.Quantity(MASS, required=True)
    weight_capacity = fields.Quantity(MASS, required=True, positive=True)
    chambers = fields.List(fields.Quantity(VOLUME, positive=True), most=50)
    foam_density = fields.Quantity(DENSITY, positive=True)
    take_up = fields.Quantity(DENSITY)


class BasicFlotationOut(Answer):
    """Buoyancy, and foam where its density is known. Not a compliance figure."""

    buoyancy = fields.Quantity(MASS, required=True)
    total = fields.Quantity(VOLUME, required=True, allow_none=True)
    foam = fields.Quantity(MASS, required=True, allow_none=True)
    cautions = fields.List(fields.Text(), required=True)


@blp.route("/foam")
class Foam(MethodView):
    """A cavity."""

    @blp.arguments(FoamIn)
    @reads()
    @blp.response(200, FoamOut)
    def post(self, body: Loaded) -> Any:
        """Work out a pour."""
        return foam.pour(**body)


@blp.route("/flotation")
class Flotation(MethodView):
    """Level flotation."""

    @blp.arguments(FlotationIn)
    @reads()
    @blp.response(200, FlotationOut)
    def post(self, body: Loaded) -> Any:
        """Work out the foam of a boat that stays level."""
        return flotation.level(**body)


@blp.route("/basic-flotation")
class BasicFlotation(MethodView):
    """Basic flotation."""

    @blp.arguments(BasicFlotationIn)
    @reads()
    @blp.response(200, BasicFlotationOut)
    def post(self, body: Loaded) -> Any:
        """Work out the buoyancy of a boat that only has to float."""
        return flotation.basic(**body)
