"""The recoat windows of one layer begun at each of many starts."""

from __future__ import annotations

from math import inf

from .. import arrays as np
from ..arrays import Flags, Floats
from ..bays.temperature import Trace
from ..cure import recoat
from ..cure.chance import Chances, Reach
from ..cure.clocks import Doubt
from ..cure.course import Course
from ..cure.layer import Layer
from ..cure.layers import Layers
from ..cure.windows import Sides
from ..frozen import frozen


@frozen
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

    def among(self, within: Flags) -> Windows:
        """The same for more starts, of which these are some; without a window at the others."""

        def spread(moments: Floats, never: float) -> Floats:
            found = np.full(len(within), never)
            found[within] = moments
            return found

        return Windows(
            spread(self.opens, inf),
            spread(self.closes, -inf),
            spread(self.ready, inf),
            spread(self.stalled, inf),
        )

    def then(self, later: Windows) -> Windows:
        """These, then those of later starts."""
        both = zip(vars(self).values(), vars(later).values(), strict=True)
        return Windows(*(np.concatenate(pair) for pair in both))

    def first(self, count: int) -> Windows:
        """Those of the first starts."""
        return Windows(*(moments[:count] for moments in vars(self).values()))


def not_yet() -> Windows:
    """The windows of no start at all."""
    return Windows(*[np.zeros(0)] * 4)


def windows(layer: Layer, trace: Trace, doubt: Doubt, starts: Floats) -> Windows:
    """The windows of a layer for each start; a chain plan asks for thousands at once.

    Args:
        layer: begun at any time; its length of application (`finished - started`) counts.
        trace: of the bay, over all starts and as far ahead as the plan looks.
        doubt: how well its temperature is known. starts: epoch s, within the trace.
    """
    if not len(starts):
        return not_yet()
    layers = Layers.at(layer, starts)
    chances, sheet = Chances(layers, trace, doubt), layer.sheet
    stalled, nowhere = Course(layers, trace).stalled, np.full_like(starts, inf)
    sure = np.array([doubt.sure])

    def latest(reach: Reach) -> Floats:
        moments = layers.last(reach.moment(sure)[0])
        return np.where(moments <= stalled, moments, inf)

    ready, opening = nowhere, sheet.stage("recoat_opens")
    hard = next((n for n in ("sandable", "full_cure") if sheet.stage(n)), None)
    if hard is not None:
        ready = latest(chances.stage(hard, dict(sheet.stages)[hard]))
    if recoat.never(layer) or opening is None:
        return Windows(nowhere, -nowhere, ready, stalled)
    shuts, wall = recoat.closing_stage(sheet), recoat.wall_clock_end(layers)
    closes, earliest = None, wall
    if shuts is not None:
        closes = chances.closing(shuts)
        earliest = np.minimum(layers.soonest(closes.moment(1 - sure)[0]), wall)
    opens = chances.stage("recoat_opens", opening)
    sides = Sides(layers, opens, closes, wall)
    begin, until = sides.sure(latest(opens), earliest, doubt.sure)
    return Windows(begin, until, ready, stalled)
