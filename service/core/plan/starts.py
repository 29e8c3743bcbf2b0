"""The recoat windows of one layer begun at each of many starts."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf

from .. import arrays as np
from ..arrays import Floats
from ..bays.temperature import Trace
from ..cure import recoat
from ..cure.chance import Chances
from ..cure.clocks import Doubt
from ..cure.course import Course
from ..cure.layer import Layer
from ..cure.layers import Layers
from ..cure.windows import Sides


@dataclass(frozen=True)
class Windows:
    """The windows of one layer begun at each of many starts: epoch s, infinite where never.

    Attributes:
        opens: when it is surely open. closes: until when; minus infinity without a window.
        ready: the latest time by which it is hard enough to be abraded.
        stalled: when it has been too cold for too long, at the bay's own temperature.
    """

    opens: Floats
    closes: Floats
    ready: Floats
    stalled: Floats


def windows(layer: Layer, trace: Trace, doubt: Doubt, starts: Floats) -> Windows:
    """The windows of a layer for each start; a chain plan asks for thousands at once.

    Args:
        layer: begun at any time; its length of application (`finished - started`) counts.
        trace: of the bay, over all starts and as far ahead as the plan looks.
        doubt: how well its temperature is known. starts: epoch s, within the trace.
    """
    layers = Layers.at(layer, starts)
    chances, sheet = Chances(layers, trace, doubt), layer.sheet
    stalled, nowhere = Course(layers, trace).stalled, np.full_like(starts, inf)
    sure = np.array([doubt.sure])

    def latest(name: str) -> Floats:
        stage = sheet.stage(name)
        if stage is None:
            return nowhere
        moments = layers.last(chances.stage(name, stage).moment(sure)[0])
        return np.where(moments <= stalled, moments, inf)

    ready = latest(next((n for n in ("sandable", "full_cure") if sheet.stage(n)), ""))
    opening = sheet.stage("recoat_opens")
    if recoat.never(layer) or opening is None:
        return Windows(nowhere, -nowhere, ready, stalled)
    shuts, wall = recoat.closing_stage(sheet), recoat.wall_clock_end(layers)
    closes, earliest = None, wall
    if shuts is not None:
        closes = chances.closing(shuts)
        earliest = np.minimum(layers.soonest(closes.moment(1 - sure)[0]), wall)
    sides = Sides(layers, chances.stage("recoat_opens", opening), closes, wall)
    begin, until = sides.sure(latest("recoat_opens"), earliest, doubt.sure)
    return Windows(begin, until, ready, stalled)
