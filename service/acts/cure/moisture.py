"""Layups that cure by moisture: the humidity around each, its forecast, and how that is shown."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from math import inf
from typing import Annotated

from ...core.amounts.quantities import SIZE
from ...core.amounts.views import Closing, Moment, Says, View
from ...core.bays.vapour import GAP_S, Humid, around, pressure
from ...core.cure import moisture, moisture_forecast
from ...core.cure.clocks import Doubt
from ...core.cure.forecast import Forecast, PotForecast
from ...core.cure.milestones import NOT_ON_SHEET
from ...core.cure.moisture_forecast import ByMoisture, From
from ...core.frozen import frozen
from ...core.words import Text
from ...store import bays
from ...store.bays import Measured
from ...store.cure import layups
from ...store.cure.layup_records import LayupRecord
from ..bays import air
from .gather import Gathered, trace_of


@frozen
class ByMoistureView(View):
    """How far a layup has cured that cures by moisture."""

    comes: Annotated[From, Says("Where the moisture comes in: an open face, or the edges.")]
    depth: Annotated[
        float | None, SIZE, Says("How far it has to come; null where nobody said how thick it is.")
    ]
    reached: Annotated[float, SIZE, Says("How deep it is cured by now, at least, for sure.")]
    likely: Annotated[float, SIZE, Says("How deep it is likely cured by now.")]
    tool_by: Annotated[
        Closing | None, Says("The earliest that it may skin; null where no sheet says.")
    ]
    no_humidity_since: Annotated[
        Moment | None, Says("Since when nobody read the humidity for over 2 h, up to now.")
    ]


@frozen
class Moist:
    """A layup that cures by moisture, with its forecast along a trace that goes on from now."""

    laid: Gathered
    told: ByMoisture

    @property
    def forecast(self) -> Forecast:
        """The forecast as that of any layup: without a gel, a window and a stall."""
        latest = self.told.through.latest
        pot = PotForecast(self.laid.layer.pots[0], NOT_ON_SHEET, NOT_ON_SHEET)
        return Forecast(self.told.found, None, inf if latest is None else latest, (pot,))

    def words(self, clock: Callable[[float], str]) -> list[Text]:
        """What a person must know of it; `clock` shows a moment."""
        return moisture_forecast.words(self.told, clock)


def outlooks(
    laid: Sequence[Gathered], now: int, doubts: Mapping[int, Doubt], logs: air.Logs
) -> list[Moist]:
    """The outlook of each of some layups that cure by moisture, at a moment, epoch s.

    Their air is looked at anew, from the first start to `air.AHEAD_S` after now: a wide joint
    cures for months.
    """
    if not laid:
        return []
    start = min(one.record.started for one in laid)
    wide = air.Air(start, max(start, now) + air.AHEAD_S, logs)
    wide.read(bay for one in laid for bay in one.record.bays)
    ids = {bay.id for one in laid for bay in one.record.bays}
    read = bays.readings_of(list(ids), start - GAP_S, now, logs.as_known_at)
    return [_outlook(one, wide, read, now, doubts[one.record.bay.id].sure) for one in laid]


def _outlook(
    laid: Gathered, wide: air.Air, read: Mapping[int, Sequence[Measured]], now: int, sure: float
) -> Moist:
    record, sheet = laid.record, laid.layer.sheet
    trace, start = trace_of(record, wide, wide.end), float(record.started)
    until = now if record.closed_at is None else min(now, record.closed_at)
    humid = _humid(record, read, until)
    ways = way_of(record)
    told = moisture_forecast.forecast(
        sheet, moisture.law_of(sheet), ways, around(trace, humid, start, max(float(until), start)),
        trace, float(until), sure, _shut(record),
    )  # fmt: skip
    return Moist(replace(laid, trace=trace), told)


def _shut(record: LayupRecord) -> float:
    """From when no moisture comes in, epoch s: from its start under a film, or once covered."""
    if record.row.cover == "film":
        return float(record.started)
    covered = [float(each.at) for each in record.seen if each.kind == "covered"]
    if record.ended_at is not None and layups.ended_covered(record.row):
        covered.append(float(record.ended_at))
    return min(covered, default=inf)


def way_of(record: LayupRecord) -> moisture_forecast.Way:
    """How the moisture comes into a layup."""
    row = record.row
    thick = None if row.thickness_um is None else float(row.thickness_um)
    return moisture_forecast.way(thick, None if row.tight_um is None else float(row.tight_um))


def _humid(record: LayupRecord, read: Mapping[int, Sequence[Measured]], now: int) -> list[Humid]:
    """The vapour pressures that were read around a layup, in the bay that it was in."""
    stays = [(record.started - GAP_S, record.row.bay), *record.moves]
    found = []
    for (since, bay), until in zip(stays, [*(at for at, _ in stays[1:]), now + 1], strict=True):
        for row in read[bay.id]:
            if since <= row.at < until and row.humidity_ppm is not None:
                e = pressure(row.temperature_mk / 1000, row.humidity_ppm / 1e4)
                found.append(Humid(float(row.at), e))
    return found


def show(told: ByMoisture | None) -> ByMoistureView | None:
    """How far it has cured, for an answer."""
    if told is None:
        return None
    return ByMoistureView(
        comes=told.way.comes,
        depth=told.way.depth,
        reached=told.surely,
        likely=told.likely,
        tool_by=told.tool_by,
        no_humidity_since=told.unread_since,
    )
