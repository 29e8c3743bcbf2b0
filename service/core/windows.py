"""When a layer could be recoated or abraded, for every moment at which it might be laid.

The array form of what `milestones` says of one layer: same law, same edges, same rounding
inwards; a plan asks it of thousands of starts at once.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf

import numpy as np

from .layer import Layer, Layers, never
from .temperature import Floats, Trace
from .ways import Ways, Widths


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
    width = _width(layer, trace.ats(starts))
    abradable = next((n for n in ("sandable", "full_cure") if layer.sheet.stage(n)), None)
    ready = _latest(ways, abradable, width)
    if never(layer, "recoat_opens"):
        nothing = np.full_like(starts, inf)
        return Windows(nothing, -nothing, ready, ways.middle.stalled)
    opens = _latest(ways, "recoat_opens", width)
    return Windows(opens, ways.closes(width).earliest, ready, ways.middle.stalled)


def _latest(ways: Ways, name: str | None, width: Floats) -> Floats:
    """The latest that each may come to a stage; infinite where the sheet has none."""
    stage = ways.layers.sheet.stage(name) if name else None
    return np.full_like(width, inf) if stage is None else ways.stages([stage], width).latest[0]


def _width(layer: Layer, kelvins: Floats) -> Floats:
    """Half-widths of the bands of what follows gel, for starts at so many kelvin."""
    different, which = np.unique(kelvins, return_inverse=True)
    return Widths.of([layer] * len(different), different).later[which]
