"""Gates of the shop's air: warm, steady and dry enough, judged by measurements alone."""

from __future__ import annotations

from .. import arrays as np
from ..amounts.sentences import heat, warmth
from ..bays.temperature import Trace, crossed
from ..frozen import frozen
from ..words import Text, say
from .judged import Judged, Rule

UNREAD = "The shop's air was not measured for long enough in the last day to tell."
READ_IT = "Read the shop's thermometer, or let a logger run for a day, and enter the 'readings'."


@frozen
class Air:
    """The measurements of a shop's air over some time.

    Attributes:
        low, high: K; None if nothing was measured.
        unmeasured: s of that time without readings.
        slack: s without readings that are allowed: the usual gap of a logger.
        humidity: percent, or None.
    """

    low: float | None = None
    high: float | None = None
    unmeasured: float = 0.0
    slack: float = 0.0
    humidity: float | None = None

    @property
    def covered(self) -> bool:
        """Whether the whole time was measured."""
        return self.unmeasured <= self.slack


def measured(trace: Trace, slack: float, humidity: float | None = None) -> Air:
    """The measurements in a trace, from its start to its end."""
    known = trace.measured & (np.diff(trace.t) > 0)
    missing = float(np.diff(trace.t)[~trace.measured].sum())
    if not known.any():
        return Air(None, None, missing, slack, humidity)
    ends = np.concatenate([trace.T[:-1][known], trace.T[1:][known]])
    return Air(float(ends.min()), float(ends.max()), missing, slack, humidity)


def shop_warm(rule: Rule, air: Air) -> Judged:
    """Whether the shop was warm enough for the whole day before."""
    least = rule.limits["least"]
    if air.low is None:
        return rule.unknown(UNREAD, READ_IT)
    found = say("Coldest reading of the last day: {}.", heat(air.low))
    if air.low < least:
        return rule.failed(
            found,
            say("Heat it, flameless and ducted, and hold at least {} for a day.", heat(least)),
        )
    return rule.held(found) if air.covered else rule.unknown(_part(found, air), READ_IT)


def shop_steady(rule: Rule, air: Air) -> Judged:
    """Whether the shop's temperature stayed within ± the allowed swing."""
    swing = rule.limits["swing"]
    if air.low is None or air.high is None:
        return rule.unknown(UNREAD, READ_IT)
    half = (air.high - air.low) / 2
    found = say("From {} to {} in the last day: ± {}.", heat(air.low), heat(air.high), warmth(half))
    if half > swing + 1e-9:
        return rule.failed(
            found, say("Hold it within ± {} for a day: heat the nights.", warmth(swing))
        )
    return rule.held(found) if air.covered else rule.unknown(_part(found, air), READ_IT)


def humidity(rule: Rule, air: Air, *, spraying: bool) -> Judged:
    """Whether the air is dry enough, and for spraying damp enough."""
    most, least = rule.limits["most_percent"], rule.limits["least_spraying_percent"]
    if air.humidity is None:
        return rule.unknown(
            "Nobody measured the humidity lately.",
            "Read the hygrometer, and enter its 'humidity_percent'.",
        )
    found = f"Relative humidity {air.humidity:.0f} %."
    if air.humidity > most:
        return rule.failed(found, f"Dry or warm the air to at most {most:g} %.")
    if spraying and air.humidity < least:
        return rule.failed(found, f"For spraying bring the air to at least {least:g} %.")
    return rule.held(found)


def warm_seconds(trace: Trace, floor: float) -> tuple[float, float]:
    """Seconds at `floor` K or above: (measured only, with the assumed times as well).

    The count pauses below the floor and goes on above it.
    """
    cut = crossed(trace, floor)
    lengths, warm = np.diff(cut.t), (cut.T[:-1] + cut.T[1:]) / 2 >= floor
    return float(lengths[warm & cut.measured].sum()), float(lengths[warm].sum())


def _part(found: Text, air: Air) -> Text:
    return found + f" {air.unmeasured / 3600:.0f} h of it were not measured."
