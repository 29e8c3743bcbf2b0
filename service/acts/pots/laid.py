"""A pot that is only asked for, as the layer that it will be."""

from __future__ import annotations

from ...core.cure.layer import LaidPot, Layer, surface_of
from ...core.pots.pot import Dose
from .look_up import Asked


def layer_of(pot: Asked, dose: Dose) -> Layer:
    """The layer that the pot will be once it is laid down."""
    dosed = pot.sheet.mix.kind == "catalysed"
    percent = dose.percent_as_measured * pot.strength if dosed else None
    lot = pot.lot.id if pot.lot else None
    belief = pot.law.belief(lot, filled=pot.filled)
    return Layer(
        sheet=pot.sheet,
        law=pot.law,
        pots=(LaidPot(percent, belief, pot.at, lot, pot.filled),),
        finished=pot.at,
        surface=surface_of(pot.sheet.surface, pot.effects),
    )
