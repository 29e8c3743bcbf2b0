"""The sure window of layers: while a bond is green with the chance that the yard asks for.

It lasts while the chance that the window has opened, less the chance that it has shut, is at least
that. Whatever ties the two, no less is true.
"""

from __future__ import annotations

from math import inf

from .. import arrays as np
from ..arrays import Flags, Floats
from ..frozen import frozen
from ..products.mixture import root
from .chance import Reach
from .layers import Layers

_NEAR = 1e-5
"""Chances nearer than this are alike: within a few seconds."""
_NEAR_S = 0.05
_TRIES = 17
"""Moments between the two ends at which the best one is looked for."""


@frozen
class Sides:
    """What opens and shuts the window of some layers.

    Attributes:
        opens: None where nothing does. closes: by the cure clock, or None.
        wall: when the wall clock shuts it, epoch s, for each layer; infinite without a limit.
    """

    layers: Layers
    opens: Reach | None
    closes: Reach | None
    wall: Floats

    def green(self, moments: Floats) -> Floats:
        """The least chance that each layer (last dimension) is green at a moment."""
        owner, first = self.layers.owner, self.layers.first
        each = moments[..., owner]
        opened = np.zeros_like(moments)
        if self.opens is not None:
            opened = np.minimum.reduceat(self.opens.chance(each), first, axis=-1)
        shut = np.where(moments >= self.wall, 1.0, 0.0)
        if self.closes is not None:
            by_clock = np.maximum.reduceat(self.closes.chance(each), first, axis=-1)
            shut = np.maximum(shut, by_clock)
        return np.asarray(opened - shut)

    def sure(self, opens: Floats, closes: Floats, sure: float) -> tuple[Floats, Floats]:
        """The sure window (from, until) of each layer, epoch s; infinity and minus it if none.

        Args:
            opens, closes: the latest opening and the earliest closing, epoch s.
        """
        held = (opens < closes) & np.isfinite(opens) & np.isfinite(closes)
        low, high = np.where(held, opens, 0.0), np.where(held, closes, 0.0)
        ends = np.stack([low, np.maximum(high - _NEAR_S, low)])
        overlap = held & (self.green(ends) < sure - _NEAR).any(axis=0)
        begin, until = np.where(held, opens, inf), np.where(held, closes, -inf)
        if not overlap.any():
            return begin, until
        later, sooner = self._narrowed(overlap, low, high, sure)
        return np.where(overlap, later, begin), np.where(overlap, sooner, until)

    def _narrowed(
        self, held: Flags, low: Floats, high: Floats, sure: float
    ) -> tuple[Floats, Floats]:
        """The window where the chance to have opened and that to have shut overlap."""
        share = np.linspace(0, 1, _TRIES)[:, None]
        tried = low + share * (high - low)
        # At the very end of the wall clock's window it is shut already.
        tried[-1] = np.maximum(high - _NEAR_S, low)
        chances = self.green(tried)
        best = chances.argmax(axis=0)[None]
        top = np.take_along_axis(tried, best, 0)[0]
        held = held & (np.take_along_axis(chances, best, 0)[0] >= sure - _NEAR)
        begin = root(lambda at: np.where(held, self.green(at) - sure, 0.0), low, top, _NEAR)
        until = root(lambda at: np.where(held, sure - self.green(at), 0.0), top, high, _NEAR)
        return np.where(held, begin, inf), np.where(held, until, -inf)
