"""The course of some layers as expected: when each is hard, and when it stalls in the cold.

On the exact clock, at the trace's own temperature. Opening, sanding and cure pause while it is
colder than the floor, and a layer that was cold for too long before it was hard reaches no later
stage.
"""

from __future__ import annotations

from functools import cached_property
from math import inf

from .. import arrays as np
from ..arrays import Floats
from ..bays.temperature import Trace
from ..products.cure_sheet import ASSUMED_COLD_MAX_S
from . import cure_clock
from .layers import Layers


class Course:
    """When each layer is hard, or has been cold for too long; epoch s, infinite where never."""

    def __init__(self, layers: Layers, trace: Trace) -> None:
        """Run the clock of some layers along a trace."""
        self.layers = layers
        self.started = np.maximum(layers.started, trace.start)
        self.finished = np.maximum(layers.finished, trace.start)
        law, floor = layers.law, layers.sheet.cure_min
        self.clock = cure_clock.run(trace, law.E, law.temperature, floor)

    @cached_property
    def hard(self) -> Floats:
        """When each layer is hard."""
        return self.layers.last(self._hard_each)

    @cached_property
    def _hard_each(self) -> Floats:
        from_finish, age = self.layers.hard_age()
        begun = self.clock.ages_at(self.finished if from_finish else self.started)
        return self.clock.reaches(begun + age)

    @cached_property
    def stalled(self) -> Floats:
        """When each layer had been cold for too long before it was hard."""
        return self.layers.soonest(self.stalled_each)

    @cached_property
    def stalled_each(self) -> Floats:
        """When each pot had been cold for too long before it was hard."""
        allowed = self.layers.sheet.cold_max
        since = self.clock.colds_since(
            self.started, ASSUMED_COLD_MAX_S if allowed is None else allowed
        )
        if not np.isfinite(since).any():
            return since
        return np.where(since < self._hard_each, since, inf)
