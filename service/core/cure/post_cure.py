"""Post-cure: hours in a temperature band add up, in one heat or in several.

After the maintenance manual of a composite light aircraft, 2013 (maker not named): 15 h at
60 ± 5 °C after a day at room temperature; the heat may be split if the total time is kept.
Only measured hours count: nobody signs off a cure on the assumed temperature of an oven. Of
several probes the coolest counts, and no hour before the part is hard (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, date, datetime, timedelta
from math import floor
from typing import Literal

from .. import arrays as np
from ..amounts.sentences import heat, warmth
from ..arrays import Flags
from ..bays.envelope import coolest, hottest
from ..bays.temperature import Trace, crossed
from ..frozen import frozen
from ..products.cure_sheet import PostCure
from ..words import Text, say

H = 3600
SLACK_S = 1e-6
"""Seconds that rounding may take off where the trace crosses the edge of a band."""
RISE_S = 900
"""A ramp is judged over quarters of an hour, so that a logger's noise is none (no source)."""
MOST_PROBES = 6
Heat = Literal["unread", "cold", "in_band", "hot"]
UNREAD_S = 2 * H


@frozen
class Probe:
    """A thermometer that tells a part's temperature.

    Attributes:
        bay: the code of the bay whose readings are its own. on_part: whether it is fixed to the
            part; else it tells the air around. checked_on: when it was last checked, or None.
    """

    bay: str
    on_part: bool = False
    checked_on: date | None = None


@frozen
class PostCured:
    """The part of its post-cure that a layup has had.

    Attributes:
        wanted: the sheet's. measured: s in the band. done_at: when that was enough, epoch s; None
            if it is not yet.
        probes: that tell its temperature. too_hot: the hottest that was measured, K, where that is
            over the band; else None. rise: the fastest warming that was measured, K in an hour,
            where that is over the sheet's; else None. early: s in the band before it was hard.
        measured_at: when it was last measured, epoch s, or None; low, high: its coolest and its
            hottest probe then, K.
    """

    wanted: PostCure
    measured: float
    done_at: float | None
    probes: tuple[Probe, ...] = ()
    too_hot: float | None = None
    rise: float | None = None
    early: float = 0.0
    measured_at: float | None = None
    low: float = 0.0
    high: float = 0.0

    def heat(self, now: float) -> Heat:
        """How warm it is against the band; `unread` if nobody measured it for two hours.

        Two hours are common practice, no source.
        """
        if self.measured_at is None or now - self.measured_at > UNREAD_S:
            return "unread"
        if self.high > self.wanted.high + SLACK_S:
            return "hot"
        return "in_band" if self.low >= self.wanted.low - SLACK_S else "cold"

    def ends(self, now: float) -> float | None:
        """When it is whole if the heat goes on, epoch s; None where it is not under way."""
        if self.done_at is not None or self.measured_at is None or self.heat(now) != "in_band":
            return None
        return self.measured_at + self.wanted.time - self.measured

    def words(self) -> Text:
        """The hours had and wanted, in words; rounded down, so that 14 h 59 min are not 15 h."""
        hours, band = floor(self.measured / 360) / 10, self.wanted
        had = f"post-cure {hours:g} h of {band.time / H:g} h"
        return say("{} at {} to {}, measured", had, heat(band.low, 0), heat(band.high, 0))

    def faults(self) -> list[Text]:
        """What was wrong with the heat, each in a sentence."""
        found: list[Text] = []
        if self.too_hot is not None:
            found.append(
                say(
                    "Post-cure: {} was measured, over the sheet's {}. Ask the resin's maker what "
                    "so much heat did.",
                    heat(self.too_hot),
                    heat(self.wanted.high, 0),
                )
            )
        if self.rise is not None and self.wanted.rise is not None:
            found.append(
                say(
                    "Post-cure: it warmed by {} in an hour, and the sheet allows {}. Look for "
                    "warping and print-through.",
                    warmth(self.rise),
                    warmth(self.wanted.rise),
                )
            )
        if self.early >= H / 10:
            found.append(
                f"Post-cure: {floor(self.early / 360) / 10:g} h in the band came before it was "
                "hard, and don't count."
            )
        return found

    def unfit(self, days: float) -> str:
        """Why its probes are not those that class rules ask for; empty where they are.

        Lloyd's Register, Rules for the Manufacture, Testing and Certification of Materials,
        July 2022, Ch 14 Sec 5.3.9 and 5.3.10.

        Args:
            days: for which a check of a probe holds; 0 where nothing is asked of them.
        """
        if not days or self.done_at is None:
            return ""
        if not self.probes or not all(probe.on_part for probe in self.probes):
            return "its temperature was not told by probes on the part"
        day = datetime.fromtimestamp(self.done_at, UTC).date()
        old = [p.bay for p in self.probes if not _is_checked(p, day, days)]
        return f"nobody checked these probes within {days:g} days: {', '.join(old)}" if old else ""


def _is_checked(probe: Probe, day: date, days: float) -> bool:
    on = probe.checked_on
    return on is not None and abs(day - on) <= timedelta(days=days)


def progress(
    wanted: PostCure,
    traces: Trace | Sequence[Trace] | None,
    *,
    hard: float = 0.0,
    probes: Sequence[Probe] = (),
) -> PostCured:
    """The part of a post-cure that a trace gives, from its start to its end.

    Args:
        traces: of each probe, from the end of application on; None if that is still to come.
        hard: when it is hard, epoch s: what was measured before that does not count.
        probes: those that the traces are of.
    """
    if traces is None:
        return PostCured(wanted, 0.0, None, tuple(probes))
    told = [traces] if isinstance(traces, Trace) else list(traces)
    cool, hot = coolest(told), hottest(told)
    cut, inside = _inside(wanted, cool)
    lengths = np.diff(cut.t) * inside
    late = np.minimum(np.maximum(cut.t[1:] - hard, 0.0), np.diff(cut.t)) * inside
    passed = np.concatenate([[0.0], np.cumsum(late)])
    total, early = float(passed[-1]), float(lengths.sum() - late.sum())
    done_at = None
    if total >= wanted.time - SLACK_S:
        enough = int(np.searchsorted(passed, wanted.time - SLACK_S))
        done_at = float(cut.t[enough] - max(passed[enough] - wanted.time, 0))
    return PostCured(
        wanted,
        total,
        done_at,
        tuple(probes),
        _too_hot(wanted, hot),
        _rise(wanted, told),
        max(early, 0.0),
        *_last(cut, hot),
    )


def _inside(wanted: PostCure, trace: Trace) -> tuple[Trace, Flags]:
    """The trace cut at the edges of the band, and which of its segments are measured in it."""
    cut = crossed(crossed(trace, wanted.low), wanted.high)
    middle = (cut.T[:-1] + cut.T[1:]) / 2
    return cut, (middle >= wanted.low) & (middle <= wanted.high) & cut.measured


def _last(cool: Trace, hot: Trace) -> tuple[float | None, float, float]:
    """When it was last measured, epoch s, and its coolest and hottest probe then, K."""
    known = cool.measured & (np.diff(cool.t) > 0)
    if not known.any():
        return None, 0.0, 0.0
    at = float(cool.t[1:][known][-1])
    return at, float(cool.T[1:][known][-1]), float(hot.ats(np.array([at]))[0])


def _too_hot(wanted: PostCure, trace: Trace) -> float | None:
    known = trace.measured & (np.diff(trace.t) > 0)
    if not known.any():
        return None
    most = float(np.maximum(trace.T[:-1], trace.T[1:])[known].max())
    return most if most > wanted.high + SLACK_S else None


def _rise(wanted: PostCure, traces: Sequence[Trace]) -> float | None:
    """The fastest measured warming of any probe, K in an hour, if that is over the sheet's."""
    if wanted.rise is None:
        return None
    found = max((_fastest(trace) for trace in traces), default=0.0)
    return found if found > wanted.rise + 1e-6 else None


def _fastest(trace: Trace) -> float:
    """The greatest rise over a quarter of an hour that was measured throughout, as K in an hour.

    A trace is straight between its knots, so the greatest lies where the quarter begins or ends
    at a knot.
    """
    starts = np.concatenate([trace.t, trace.t - RISE_S])
    starts = starts[(starts >= trace.start) & (starts + RISE_S <= trace.end)]
    if not len(starts):
        return 0.0
    known = np.array([basis == "measured" for basis in trace.bases(starts, starts + RISE_S)])
    rises = (trace.ats(starts + RISE_S) - trace.ats(starts))[known]
    return float(rises.max()) * H / RISE_S if len(rises) else 0.0
