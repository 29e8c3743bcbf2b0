"""Routes: how a chain gets from one step to the next, under which conditions, at which cost."""

from __future__ import annotations

from dataclasses import field, replace
from functools import cached_property
from math import inf

from .. import arrays as np
from ..arrays import Flags, Floats
from ..bays.temperature import Trace
from ..cure.clocks import Doubt
from ..cure.layer import Layer
from ..frozen import frozen
from .reach import NEVER, Keys, Slots
from .shop_hours import Nights, fits
from .starts import Windows, not_yet, windows
from .steps import Lay, Work

ABRADE = 10**9
"""The cost of an abrade in seconds of night work: more than any plan has."""


@frozen
class Shop:
    """The bay and the hours of the work.

    Attributes:
        trace: of the bay, from the first slot to well past the last. doubt: how well it is known.
        spans: stretches of working hours. nights: the hours that count as night work.
        start: of the first slot, epoch s. slot: its length, s. slots: their number.
    """

    trace: Trace
    doubt: Doubt
    spans: Floats
    nights: Nights
    start: float
    slot: float
    slots: int
    _windows: dict[Layer, Windows] = field(default_factory=dict, compare=False)
    _workable: dict[Layer, Flags] = field(default_factory=dict, compare=False)

    @cached_property
    def moments(self) -> Floats:
        """When each slot begins, epoch s."""
        return _grid(self.start, self.slot, self.slots)

    def windows(self, layer: Layer) -> Windows:
        """The windows of a layer begun in each slot, computed once for each layer.

        There are none for a slot in which hands do not lay it up: that is most of them.
        """
        found = self._windows.get(layer) or not_yet()
        known = len(found.opens)
        if known < self.slots:
            moments = self.moments[known:]
            hours = fits(self.spans, moments, layer.finished - layer.started)
            within = hours & self.workable(layer)[known:]
            more = windows(layer, self.trace, self.doubt, moments[within])
            found = self._windows[layer] = found.then(more.among(within))
        return found.first(self.slots)

    def of(self, slots: int) -> Shop:
        """The first of its slots alone; what was worked out of them is kept by both."""
        return replace(self, slots=slots, _workable={})

    def workable(self, layer: Layer) -> Flags:
        """For each slot, whether a layer begun then is neither too cold nor too hot to lay up."""
        if layer not in self._workable:
            self._workable[layer] = self._work_out(layer)
        return self._workable[layer]

    def _work_out(self, layer: Layer) -> Flags:
        length = int(np.ceil((layer.finished - layer.started) / self.slot)) + 1
        felt = self.trace.ats(_grid(self.start, self.slot, self.slots + length))
        low, high = layer.sheet.apply_min, layer.sheet.temperature_max
        bad = (felt < (-inf if low is None else low)) | (felt > (inf if high is None else high))
        so_far = np.concatenate([[0], np.cumsum(bad)])
        return np.asarray(so_far[length : length + self.slots] == so_far[: self.slots])


@frozen
class Front:
    """All possible situations after a step: one entry for each possible beginning.

    Attributes:
        key: the least cost to get there; NEVER where it can't be reached.
        begin, end: of the step, epoch s.
        below: the windows of the uppermost layer; None if the face is fresh.
    """

    key: Keys
    begin: Floats
    end: Floats
    below: Windows | None


@frozen
class Route:
    """One way to begin a step, with the slots for each entry of the front.

    Attributes:
        bounds: by name, the moments before which it can't begin, epoch s.
        first, last: the slots between which the layer or the work itself may begin.
        before: s of abrading. allowed: by condition, the slots in which it may begin.
        cost: of each slot; NEVER where it may not begin.
    """

    bounds: dict[str, Floats]
    first: Slots
    last: Slots
    before: float
    allowed: dict[str, Flags]
    cost: Keys


def routes(front: Front, step: Lay | Work, shop: Shop) -> list[Route]:
    """The routes to a step of hands-on work: inside the window, or after abrading."""
    done, below = {"last-step": front.end}, front.below
    if below is None:
        return [_route(step, shop, done)]
    hard = {**done, "hard": below.ready}
    if isinstance(step, Work):
        return [_route(step, shop, hard)]
    found = [_route(step, shop, {**done, "window": below.opens}, closes=below.closes)]
    if step.abrade is not None:
        found.append(_route(step, shop, hard, before=step.abrade))
    return found


def _route(
    step: Lay | Work,
    shop: Shop,
    bounds: dict[str, Floats],
    *,
    closes: Floats | None = None,
    before: float = 0.0,
) -> Route:
    low = np.maximum.reduce(list(bounds.values())) + before
    high = np.full_like(low, inf) if closes is None else closes - step.length
    allowed = _allowed(step, shop, before)
    cost = shop.nights.worked(shop.moments - before, before + step.length)
    cost += ABRADE if before else 0
    cost[~np.logical_and.reduce(list(allowed.values()))] = NEVER
    first = np.ceil((low - shop.start) / shop.slot - 1e-9)
    last = np.floor((high - shop.start) / shop.slot + 1e-9)
    return Route(
        bounds,
        np.clip(first, 0, shop.slots).astype(np.int64),
        np.clip(last, -1, shop.slots - 1).astype(np.int64),
        before,
        allowed,
        cost,
    )


def _grid(start: float, slot: float, count: int) -> Floats:
    return np.asarray(start + slot * np.arange(count), np.float64)


def _allowed(step: Lay | Work, shop: Shop, before: float) -> dict[str, Flags]:
    found = {"hours": fits(shop.spans, shop.moments - before, before + step.length)}
    if isinstance(step, Lay):
        found["temperature"] = shop.workable(step.layer)
        found["cold-night"] = np.isinf(shop.windows(step.layer).stalled)
    return found
