"""Forecast layups: the clock's milestones for each, the cold ahead of it, and words on both."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Hashable, Mapping, Sequence
from dataclasses import replace
from math import inf
from typing import Any

from ...core.cure import stall
from ...core.cure.clocks import Doubt
from ...core.cure.forecast import Forecast, PotForecast, forecasts
from ...core.cure.found import SET
from ...core.cure.night import ColdAhead, colds_ahead
from ...core.cure.soonest import heard, soonest
from ...core.frozen import frozen
from ...store.cure.layup_records import LayupRecord
from ..bays import air
from . import moisture
from .gather import Gathered, without, words_on
from .moisture import Moist

ODD = (0.5, 2.0)
"""Outside these shares of its forecast time a gel is suspect (common practice, no source)."""
_UNLIKELY = (
    "By the clock, fewer than 1 layup in 1000 looks like this. If the look was of another part, "
    "take it back."
)
_RUNS_ON = "It lay cold for too long and was checked after it was heated: its clock runs on."

Once = Callable[[Hashable, Callable[[], Any]], Any]
"""Gives what was worked out under a name before, or what the work makes now."""


@frozen
class Told:
    """A layup with its forecast."""

    laid: Gathered
    forecast: Forecast


@frozen
class Outlook(Told):
    """A layup with its forecast, the cold ahead before it is hard or None, and its air's doubt.

    `moist` is its cure by moisture, or None.
    """

    cold: ColdAhead | None
    doubt: Doubt
    moist: Moist | None = None

    @property
    def stalls_from(self) -> float | None:
        """When the cold begins that it stalls in, epoch s; None if it does not stall."""
        stalled = self.forecast.stalled
        return stalled if self.cold is None or stalled is None else self.cold.cold_from


def outlooks(laid: Sequence[Gathered], now: int, logs: air.Logs, once: Once) -> list[Outlook]:
    """The outlook of each of some layups at a moment, epoch s, as known when the logs are.

    A look that comes too early is left out until it is said again. A layup that stalled in the
    cold and was checked since is forecast again, its clock running on. None of that moves with the
    clock as long as the air is as well known.

    Args:
        once: gives what it was told to work out of these layups before.
    """
    doubts = air.doubts((one.record.bay for one in laid), now, logs)
    places = [place for place, one in enumerate(laid) if one.layer.sheet.cures_by_moisture]
    moist = moisture.outlooks([laid[place] for place in places], now, doubts, logs)
    dosed = [one for place, one in enumerate(laid) if place not in places]
    rest = iter(_by_clock(dosed, now, doubts, once))
    wet = {
        place: Outlook(each.laid, each.forecast, None, doubts[each.laid.record.bay.id], each)
        for place, each in zip(places, moist, strict=True)
    }
    return [wet[place] if place in wet else next(rest) for place in range(len(laid))]


def _by_clock(
    laid: Sequence[Gathered], now: int, doubts: Mapping[int, Doubt], once: Once
) -> list[Outlook]:
    """The outlooks of layups that cure by the cure clock."""
    known = tuple(doubts.items())
    told = once(("told", known), lambda: _all_told(laid, doubts))
    colds = once(("colds", known), lambda: _colds(told, doubts))
    if any(colds):
        colds = _colds(told, doubts, now)
    return [
        Outlook(each.laid, each.forecast, cold, doubts[each.laid.record.bay.id])
        for each, cold in zip(told, colds, strict=True)
    ]


def _colds(
    told: Sequence[Told], doubts: Mapping[int, Doubt], since: float = -inf
) -> list[ColdAhead | None]:
    """The cold ahead of each layup.

    Args:
        since: as of when it can be heated: that changes the remedy, not whether there is a cold.
    """
    found: dict[int, ColdAhead | None] = {}
    for places in _in_one_air([each.laid for each in told]):
        first, layers = told[places[0]].laid, [told[place].laid.layer for place in places]
        colds = colds_ahead(layers, first.trace, doubts[first.record.bay.id], since)
        found |= zip(places, colds, strict=True)
    return [found[place] for place in range(len(told))]


def _all_told(laid: Sequence[Gathered], doubts: Mapping[int, Doubt]) -> list[Told]:
    """The forecast of each layup by the looks that are believed."""
    found = _told(_believed(laid, doubts), doubts)
    _shut_early(found, doubts)
    again = {place: on for place, each in enumerate(found) if (on := _run_on(each)) is not None}
    for place, each in zip(again, _told(list(again.values()), doubts), strict=True):
        found[place] = each
    return found


def _told(laid: Sequence[Gathered], doubts: Mapping[int, Doubt]) -> list[Told]:
    """Layups in the same air are forecast together: that is far quicker."""
    found: dict[int, Told] = {}
    for places in _in_one_air(laid):
        first, layers = laid[places[0]], [laid[place].layer for place in places]
        clock = forecasts(layers, first.trace, doubts[first.record.bay.id])
        for place, told in zip(places, clock, strict=True):
            found[place] = Told(laid[place], told)
    return [found[place] for place in range(len(laid))]


def _in_one_air(laid: Sequence[Gathered]) -> list[list[int]]:
    """The places of layups that lie in the same air, together."""
    together = defaultdict(list)
    for place, one in enumerate(laid):
        together[id(one.trace), one.record.bay.id].append(place)
    return list(together.values())


def _believed(laid: Sequence[Gathered], doubts: Mapping[int, Doubt]) -> list[Gathered]:
    """Layups without the looks that come too early and were not said again."""
    believed = list(laid)
    called = [
        place for place, one in enumerate(laid) if any(seen.kind in SET for seen in one.record.seen)
    ]
    some = [laid[place] for place in called]
    for places in _in_one_air(some):
        first = some[places[0]]
        layers = [some[place].layer for place in places]
        soon = soonest(layers, first.trace, doubts[first.record.bay.id])
        for place, each in zip(places, soon, strict=True):
            told = heard(words_on(some[place]), each)
            if told.left_out or told.confirmed:
                believed[called[place]] = without(some[place], told)
    return believed


def _shut_early(found: list[Told], doubts: Mapping[int, Doubt]) -> None:
    """Let the windows of layups that a doubted glove found open shut as early as if it were so."""
    gloves = {
        place: replace(each.laid, layer=each.laid.doubted_glove)
        for place, each in enumerate(found)
        if each.laid.doubted_glove is not None
    }
    for place, other in zip(gloves, _told(list(gloves.values()), doubts), strict=True):
        each = found[place]
        closes = {"recoat_closes": replace(other.forecast.found["recoat_closes"], sure=None)}
        told = replace(each.forecast, found=each.forecast.found | closes)
        found[place] = replace(each, forecast=told)


def _run_on(told: Told) -> Gathered | None:
    """A stalled layup without its limit of cold, if a check ended the stall; else None."""
    laid, stalled = told.laid, told.forecast.stalled
    floor = laid.layer.sheet.cure_min
    if stalled is None or floor is None:
        return None
    doubted, checks = told.forecast.doubted, laid.touch.checks
    ended = stall.ended_by(stalled, checks, laid.trace, floor, doubted=doubted)
    if ended is None:
        return None
    words = () if ended <= stalled else (_RUNS_ON,)
    sheet = replace(laid.layer.sheet, cold_max=inf)
    return replace(laid, layer=replace(laid.layer, sheet=sheet), flags=laid.flags + words)


def odd_looks(laid: Gathered, told: Forecast) -> tuple[str, ...]:
    """A word on looks that a layup like this gives less often than once in a thousand."""
    if laid.asked:
        return (
            f"{_UNLIKELY} It counts for nothing yet. If it is right, note it again in a minute.",
        )
    if not told.doubted or not laid.record.seen:
        return ()
    return (
        f"{_UNLIKELY} If it is right, note it again in a minute: the later times then go by it.",
    )


def odd_gels(record: LayupRecord, pots: Sequence[PotForecast]) -> tuple[str, ...]:
    """Words on pots that gelled far from their forecast: the mix is suspect."""
    several = len(record.pots) > 1
    names = [f"Pot {pot.id}" for pot in record.pots] if several else ["It"]
    return tuple(word for pair in zip(names, pots, strict=True) for word in _odd_gel(*pair))


def _odd_gel(name: str, pot: PotForecast) -> tuple[str, ...]:
    on_part, in_cup = pot.pot.gelled_at, pot.pot.cup_gelled_at
    seen, gel = (in_cup, pot.told_gel) if on_part is None else (on_part, pot.told_part)
    if seen is None or gel.at is None:
        return ()
    low, high = ODD
    share = (seen - pot.pot.mixed_at) / (gel.at - pot.pot.mixed_at)
    if low <= share <= high:
        return ()
    check = "check the ratio and the temperature, and test a cup."
    if share < low:
        return (f"{name} gelled after {share:.1f} times the forecast time: {check}",)
    # A look that finds it set long after says nothing of when: only one that found it wet does.
    wet = pot.pot.wet_at if on_part is not None else pot.pot.cup_wet_at
    if wet is None or gel.latest is None or wet <= gel.latest:
        return ()
    found = f"{name} was seen gelled after {share:.1f} times the forecast time"
    return (f"{found}, and was wet long before: {check}",)
