"""When a layer could be recoated or abraded, for every moment at which it might be laid.

The array form of what `milestones` says of one layer: same law, same edges, same rounding
inwards; a plan asks it of thousands of starts at once.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf

import numpy as np

from ..bays.temperature import Floats, Trace
from .layer import LaidPot, Layer, Layers, never
from .scenarios import Ways, Widths


@dataclass(frozen=True)
class Windows:
    """For each start (epoch s): moments in epoch s, infinite where there is none.

    Attributes:
        opens: the latest that it may open. closes: the earliest that it may close; minus
            infinity where it has no window. ready: the latest by which it is hard enough to
            be abraded. stalled: when it has lain too cold for too long, judged at the
            bay's own temperature.
    """

    opens: Floats
    closes: Floats
    ready: Floats
    stalled: Floats


def windows(layer: Layer, trace: Trace, uncertainty: float, starts: Floats) -> Windows:
    """The windows of a layer laid at each of many starts.

    Args:
        layer: laid at any time: only its length of application (`finished - started`)
            counts. trace: of the bay, over all starts and as far ahead as is looked.
        uncertainty: of its temperatures, K. starts: within the trace.
    """
    ways = Ways(Layers.at(layer, starts), trace, uncertainty)
    width = _width(layer, trace, starts)
    abradable = next((n for n in ("sandable", "full_cure") if layer.sheet.stage(n)), None)
    nothing = np.full_like(starts, inf)
    ready = _latest(ways, abradable, width, nothing)
    if never(layer, "recoat_opens"):
        return Windows(nothing, -nothing, ready, ways.middle.stalled)
    opens = _latest(ways, "recoat_opens", width, nothing)
    return Windows(opens, ways.closes(width).earliest, ready, ways.middle.stalled)


def _latest(ways: Ways, name: str | None, width: Floats, nothing: Floats) -> Floats:
    """The latest that each may come to a stage; `nothing` where the sheet has none."""
    stage = ways.layers.sheet.stage(name) if name else None
    return nothing if stage is None else ways.stages([stage], width).latest[0]


def _width(layer: Layer, trace: Trace, starts: Floats) -> Floats:
    """Half-widths of the bands of what follows gel: for each start, those of its pots."""
    return np.stack([_width_of(layer, pot, trace, starts) for pot in layer.pots], axis=-1).ravel()


def _width_of(layer: Layer, pot: LaidPot, trace: Trace, starts: Floats) -> Floats:
    kelvins = trace.ats(starts + (pot.mixed_at - layer.started))
    different, which = np.unique(kelvins, return_inverse=True)
    return Widths.of(layer.law, [pot] * len(different), different).later[which]
