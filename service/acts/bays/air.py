"""A bay's air: over a stretch of time, and at a moment. Readings first, its pattern elsewhere."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import time
from math import hypot
from typing import Annotated
from zoneinfo import ZoneInfo

from ...core.amounts.quantities import TEMPERATURE
from ...core.amounts.views import Called, Moment, View
from ...core.bays.logged import LEAST_DAYS, LEAST_HOURS, LOOKED_BACK_S, Logged, learned
from ...core.bays.pattern import BayPatterns, Pattern
from ...core.bays.temperature import Basis, Trace, temperature_at, trace_of
from ...core.bays.temperature import Pattern as Assumed
from ...core.bays.thermometer import known_to
from ...core.cure.clocks import Doubt
from ...core.frozen import frozen
from ...store import bays
from ...store.bays import Bay, BayPattern
from ...store.engine.revisions import memory
from ..yard import conversions, moments, settings
from .air_taken import ReadView, Taken

AHEAD_S = 60 * 86_400
"""How far ahead milestones are looked for."""
AHEAD_K, OPEN_K = 3.0, 5.0
"""Uncertainty of the air of a bay to come, where its own log does not tell: indoors, and in the
open (common practice, no source)."""
RESIN_K = 3.0
"""How far a resin may be from the air of its bay, K (common practice, no source)."""
FRESH_S = 10 * 60
"""How long a reading counts as measured: nobody reads a bay again within ten minutes (common
practice, no source)."""


@frozen
class WarmthView(View):
    """How warm it was over a stretch of time, and what share of that was measured."""

    start: Annotated[Moment, Called("from")]
    until: Moment
    min: Annotated[float, TEMPERATURE]
    mean: Annotated[float, TEMPERATURE]
    max: Annotated[float, TEMPERATURE]
    basis: Basis
    measured_percent: float


def trace(
    bay: Bay,
    start: int,
    end: int,
    as_known_at: int | None = None,
    *,
    night_warmer: float = 0.0,
) -> Trace:
    """The bay's air from `start` to `end` (epoch s), as known at a moment or now.

    Args:
        night_warmer: added to the nights of its pattern, K.
    """
    return traces([bay], start, end, as_known_at, night_warmer=night_warmer)[bay.id]


def traces(
    of: Iterable[Bay],
    start: int,
    end: int,
    as_known_at: int | None = None,
    *,
    night_warmer: float = 0.0,
    logs: Logs | None = None,
) -> dict[int, Trace]:
    """Bay's id → as `trace`, for several bays in as few queries as for one.

    Args:
        logs: what was read of the bays' logs, as known at the same moment.
    """
    known = {bay.id: bay for bay in of}
    ids, gap = list(known), max((bay.gap_max_s for bay in known.values()), default=0)
    read = bays.readings_of(ids, start - gap, end + gap, as_known_at)
    laws = _patterns(ids, start, logs or Logs(as_known_at), night_warmer)
    return {
        bay: trace_of(
            [row.at for row in read[bay]],
            [row.temperature_mk / 1000 for row in read[bay]],
            laws[bay],
            start,
            end,
            known[bay].gap_max_s,
        )
        for bay in ids
    }


def taken(bay: Bay, moment: int) -> Taken:
    """The air of a bay at a moment, epoch s."""
    return taken_each([bay], moment)[bay.id]


def taken_each(of: Iterable[Bay], moment: int) -> dict[int, Taken]:
    """Bay's id → as `taken`, for several bays in as few queries as for one."""
    known = {bay.id: bay for bay in of}
    ids, widest = list(known), max((bay.gap_max_s for bay in known.values()), default=0)
    read = bays.readings_of(ids, moment - widest, moment + widest)
    laws = _patterns(ids, moment, logs_now(), 0.0)
    return {bay.id: _taken(bay, moment, read[bay.id], laws[bay.id]) for bay in known.values()}


def _taken(bay: Bay, moment: int, read: Sequence[bays.Measured], law: Assumed) -> Taken:
    gap = bay.gap_max_s
    rows = [row for row in read if abs(row.at - moment) <= gap]
    times, heats = [row.at for row in rows], [row.temperature_mk / 1000 for row in rows]
    here = temperature_at(times, heats, law, moment, gap)
    last = max((row for row in rows if row.at <= moment), key=lambda row: row.at, default=None)
    then = min((row.at for row in rows if row.at >= moment), default=None)
    bridged = last is not None and then is not None and then - last.at <= gap
    if not bridged and last is not None and moment - last.at <= FRESH_S:
        here, bridged = last.temperature_mk / 1000, True
    return Taken(
        bay,
        moment,
        here,
        "measured" if bridged else "assumed",
        None if last is None else _read(last),
    )


def _read(row: bays.Measured) -> ReadView:
    humidity = conversions.percent(row.humidity_ppm)
    return ReadView(
        row.temperature_mk / 1000, row.at, None if humidity is None else float(humidity)
    )


def temperatures(air: Trace) -> WarmthView:
    """The lowest, mean and highest temperature of a trace."""
    return WarmthView(
        start=air.start,
        until=air.end,
        min=float(air.T.min()),
        mean=air.mean(),
        max=float(air.T.max()),
        basis=air.basis(air.start, air.end),
        measured_percent=round(100 * air.measured_share(air.start, air.end), 1),
    )


def own_uncertainty(bay: Bay, at: float) -> float:
    """Uncertainty of the bay's air where it is measured at a moment, K."""
    return known_to(bay.uncertainty_mk / 1000, bay.checked_on, at)


def of_resin(bay: Bay, at: float) -> float:
    """Uncertainty of the bay's air, K, taken for a resin's temperature."""
    return hypot(own_uncertainty(bay, at), RESIN_K)


def doubt(bay: Bay, at: int, as_known_at: int | None = None) -> Doubt:
    """How well the temperature of a part in the bay is known from a moment (epoch s) on."""
    return doubts([bay], at, Logs(as_known_at))[bay.id]


def doubts(of: Iterable[Bay], at: int, logs: Logs) -> dict[int, Doubt]:
    """Bay's id → as `doubt`, for several bays in as few queries as for one."""
    known = {bay.id: bay for bay in of}
    found, sure = logs.at(known, at), settings.sure()
    return {
        key: Doubt(own_uncertainty(bay, at), ahead(bay, found.get(key), at), sure)
        for key, bay in known.items()
    }


def ahead(bay: Bay, log: Logged | None, at: float) -> float:
    """Uncertainty of a bay's air after a moment, K, by its own log if it has one."""
    guessed = OPEN_K if bay.in_the_open else AHEAD_K
    return max(own_uncertainty(bay, at), guessed if log is None else log.ahead)


class Air:
    """The air of bays over one stretch of time, epoch s; each bay is worked out once."""

    def __init__(self, start: int, end: int, logs: Logs | None = None) -> None:
        self.start, self.end = start, end
        self.logs = logs or Logs()
        self._traces: dict[int, Trace] = {}
        self._doubts: dict[int, Doubt] = {}

    def read(self, of: Iterable[Bay]) -> None:
        """Work out the air of several bays in one go, before they are asked for."""
        new = [bay for bay in of if bay.id not in self._traces]
        known = self.logs.as_known_at
        self._traces |= traces(new, self.start, self.end, known, logs=self.logs)

    def of(self, bay: Bay) -> Trace:
        """A bay's air."""
        if bay.id not in self._traces:
            self.read([bay])
        return self._traces[bay.id]

    def _doubt(self, bay: Bay) -> Doubt:
        if bay.id not in self._doubts:
            self._doubts |= doubts([bay], self.start, self.logs)
        return self._doubts[bay.id]

    def around(self, stays: Sequence[tuple[int, Bay]]) -> Trace:
        """The air around something that was carried from bay to bay.

        Args:
            stays: (since, bay) by moment; those after the stretch of time are left out.
        """
        if len(stays) == 1:
            return self.of(stays[0][1])
        first = stays[0][0]
        whole: Trace | None = None
        for (since, bay), until in zip(
            stays, [*(at for at, _ in stays[1:]), self.end], strict=True
        ):
            since, until = max(since, first), min(until, self.end)
            if until > since:
                known = self._doubt(bay)
                part = self.of(bay).between(since, until).known_to(known.measured, known.ahead)
                whole = part if whole is None else whole.then(part)
        if whole is None:
            raise ValueError("it was in no bay")
        return whole


def _patterns(
    bay_ids: Sequence[int], at: int, logs: Logs, night_warmer: float
) -> dict[int, Assumed]:
    """Bay's id → its pattern by its own log, or else as a hand told it.

    A bay that was added after the moment that the logs are known at has its first one.
    """
    known = bays.patterns_of(bay_ids, logs.as_known_at)
    later = [bay for bay, rows in known.items() if not rows]
    if later:
        known |= {bay: rows[:1] for bay, rows in bays.patterns_of(later).items()}
    zone = moments.zone()
    told = {bay: _told(rows, night_warmer, zone) for bay, rows in known.items()}
    own = logs.at(bay_ids, at)
    return told | {bay: _logged(known[bay][-1], log, night_warmer) for bay, log in own.items()}


def logs_now() -> Logs:
    """The logs as known now; they are kept as long as nothing is entered."""
    return memory().once("logs", Logs)


class Logs:
    """The patterns that bays' own logs tell, as known at a moment or now; each is read once."""

    def __init__(self, as_known_at: int | None = None) -> None:
        self.as_known_at = as_known_at
        self._found: dict[int, tuple[int, Logged] | None] = {}

    def at(self, bay_ids: Iterable[int], moment: int) -> dict[int, Logged]:
        """Bay's id → its pattern; bays whose log ended long before the moment are left out."""
        wanted = list(bay_ids)
        self._read([bay for bay in wanted if bay not in self._found])
        ended = moment - LOOKED_BACK_S
        told = {bay: found for bay in wanted if (found := self._found[bay]) is not None}
        return {bay: logged for bay, (last, logged) in told.items() if last > ended}

    def _read(self, bay_ids: Sequence[int]) -> None:
        if not bay_ids:
            return
        means, zone = bays.hourly_means(bay_ids, LOOKED_BACK_S, self.as_known_at), moments.zone()
        for bay, log in means.items():
            told = None
            if len(log) >= LEAST_DAYS * LEAST_HOURS:
                told = learned([(at, mean / 1000) for at, mean in log], zone)
            self._found[bay] = None if told is None else (log[-1][0], told)


def _logged(row: BayPattern, log: Logged, night_warmer: float) -> Assumed:
    day = range(time.fromisoformat(row.day_from).hour, time.fromisoformat(row.day_until).hour)
    return log.pattern.warmer_outside(day, night_warmer) if night_warmer else log.pattern


def _told(rows: Sequence[BayPattern], night_warmer: float, zone: ZoneInfo) -> BayPatterns:
    return BayPatterns(
        [
            (
                row.at,
                Pattern(
                    row.day_mk / 1000,
                    row.night_mk / 1000 + night_warmer,
                    time.fromisoformat(row.day_from),
                    time.fromisoformat(row.day_until),
                ),
            )
            for row in rows
        ],
        zone,
    )
