"""Post-cure: hours in a temperature band add up, in one heat or in several.

After the maintenance manual of a composite light aircraft, 2013 (maker not named): 15 h at
60 ± 5 °C after a day at room temperature; the heat may be split if the total time is kept.
Only measured hours count: nobody signs off a cure on the assumed temperature of an oven.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import floor

from .. import arrays as np
from ..amounts.sentences import heat
from ..bays.temperature import Trace, crossed
from ..products.cure_sheet import PostCure
from ..words import Text, say

H = 3600
SLACK_S = 1e-6
"""Seconds that rounding may take off where the trace crosses the edge of a band."""


@dataclass(frozen=True)
class PostCured:
    """The part of its post-cure that a layup has had.

    Attributes:
        wanted: the sheet's. measured: s in the band. done_at: when that was enough, epoch s; None
            if it is not yet.
    """

    wanted: PostCure
    measured: float
    done_at: float | None

    def words(self) -> Text:
        """The hours had and wanted, in words; rounded down, so that 14 h 59 min are not 15 h."""
        hours, band = floor(self.measured / 360) / 10, self.wanted
        had = f"post-cure {hours:g} h of {band.time / H:g} h"
        return say("{} at {} to {}, measured", had, heat(band.low, 0), heat(band.high, 0))


def progress(wanted: PostCure, trace: Trace | None) -> PostCured:
    """The part of a post-cure that a trace gives, from its start to its end.

    Args:
        trace: from the end of application on; None if that is still to come.
    """
    if trace is None:
        return PostCured(wanted, 0.0, None)
    cut = crossed(crossed(trace, wanted.low), wanted.high)
    middle = (cut.T[:-1] + cut.T[1:]) / 2
    inside = (middle >= wanted.low) & (middle <= wanted.high) & cut.measured
    passed = np.concatenate([[0.0], np.cumsum(np.diff(cut.t) * inside)])
    total = float(passed[-1])
    if total < wanted.time - SLACK_S:
        return PostCured(wanted, total, None)
    enough = int(np.searchsorted(passed, wanted.time - SLACK_S))
    return PostCured(wanted, total, float(cut.t[enough] - max(passed[enough] - wanted.time, 0)))
