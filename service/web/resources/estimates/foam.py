"""Pour foam for a cavity; foam that keeps a swamped boat afloat."""

from __future__ import annotations

from ....acts.estimates import foam
from ....acts.estimates.foam import FoamView
from ....core.amounts.quantities import AREA, DENSITY, MASS, SIZE, VOLUME
from ....core.estimates import flotation
from ....core.estimates.buoyancy import K_OF
from ....core.estimates.flotation import BasicFlotationView, FlotationView
from ... import fields
from ...fields.schemas import Body
from .base import SumIn, estimate


class FoamIn(SumIn):
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


class HullPartIn(Body):
    """A part of the hull: its dry weight, and its material."""

    mass = fields.Quantity(MASS, required=True, positive=True)
    material = fields.Choice(tuple(K_OF))
    specific_gravity = fields.Number(least=0.05, most=25)


class FlotationIn(SumIn):
    """A boat for level flotation; 'capacity' is less what the handbook takes off for engines."""

    hull = fields.List(fields.Nested(HullPartIn), required=True, least=1, most=50)
    deck = fields.Quantity(MASS)
    engines = fields.Quantity(MASS)
    persons = fields.Quantity(MASS)
    capacity = fields.Quantity(MASS)
    foam_density = fields.Quantity(DENSITY, required=True, positive=True)
    take_up = fields.Quantity(DENSITY)


class BasicFlotationIn(SumIn):
    """A boat for basic flotation: its capacities, and its air chambers."""

    persons = fields.Quantity(MASS, required=True)
    weight_capacity = fields.Quantity(MASS, required=True, positive=True)
    chambers = fields.List(fields.Quantity(VOLUME, positive=True), most=50)
    foam_density = fields.Quantity(DENSITY, positive=True)
    take_up = fields.Quantity(DENSITY)


estimate("/foam", FoamIn, foam.pour, FoamView, "Work out a pour.")
estimate(
    "/flotation",
    FlotationIn,
    flotation.level,
    FlotationView,
    "Work out the foam of a boat that stays level.",
)
estimate(
    "/basic-flotation",
    BasicFlotationIn,
    flotation.basic,
    BasicFlotationView,
    "Work out the buoyancy of a boat that only has to stay up.",
)
