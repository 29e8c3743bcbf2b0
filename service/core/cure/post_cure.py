"""Post-cure: hours in a temperature band add up, in one heat or in several.

As a composite light-aircraft maintenance manual of 2013 has it (maker withheld): 15 h at 60 ± 5 °C
after a day at room temperature; splitting is allowed if the total time at temperature is kept.
Only what was measured counts: a cure is not signed off on what was assumed of an oven.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import floor

import numpy as np

from ..amounts import sentences as worded
from ..bays.temperature import Trace, crossed
from ..products.cure_sheet import PostCure

H = 3600
SLACK_S = 1e-6
"""Seconds that rounding may cost where a band's edge is crossed between two readings."""


@dataclass(frozen=True)
class PostCured:
    """How much of its post-cure a layup has had.

    Attributes:
        wanted: by its sheet. measured: s in the band. done_at: when that was enough, epoch s, or
            None.
    """

    wanted: PostCure
    measured: float
    done_at: float | None

    def said(self) -> str:
        """How much of how much, in words; hours rounded down, so that 14 h 59 min are not 15."""
        had, band = floor(self.measured / 360) / 10, self.wanted
        return (
            f"post-cure {had:g} h of {band.time / H:g} h at {worded.heat(band.low, 0)} to "
            f"{worded.heat(band.high, 0)}, measured"
        )


def had(wanted: PostCure, trace: Trace | None) -> PostCured:
    """What a trace gives of a post-cure, from its start to its end.

    Args:
        trace: from the end of application on; None where that is still to come.
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
