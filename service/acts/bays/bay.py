"""Add, change and show a bay: a place with its own temperature."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, time
from decimal import Decimal
from typing import Annotated, Literal

from ...core.amounts.quantities import DIFFERENCE, TEMPERATURE, TIME
from ...core.amounts.views import Code, RowId, View
from ...core.bays.logged import Logged
from ...core.errors import AlreadyExists, Invalid
from ...core.frozen import frozen
from ...store import bays
from ...store.bays import Bay, BayPattern, Reading
from ...store.engine.database import writing
from ...store.engine.rows import differing
from ...store.yard.hands import Hand
from ..yard import conversions, finding, moments
from . import air, probe
from .probe import ProbeView
from .readings import MeasuredView

DEFAULT_UNCERTAINTY_K = Decimal(2)
DEFAULT_GAP_S = Decimal(7200)


@frozen
class PatternView(View):
    """What a bay is taken to be by day and by night."""

    day: Annotated[Decimal, TEMPERATURE]
    night: Annotated[Decimal, TEMPERATURE]
    day_from: str
    day_until: str


@frozen
class LatestView(MeasuredView):
    """What was last read in a bay."""


@frozen
class AheadView(View):
    """How the air to come is known: from the bay's own `log`, or `guessed`; and how well."""

    basis: Literal["log", "guessed"]
    uncertainty: Annotated[float, DIFFERENCE]


@frozen
class BayView(View):
    """A bay; `good_to` is its `uncertainty`, or less while its thermometer's check holds."""

    id: RowId
    code: Code
    title: str
    pattern: PatternView
    uncertainty: Annotated[Decimal, DIFFERENCE]
    checked_on: date | None
    good_to: Annotated[float, DIFFERENCE]
    in_the_open: bool
    gap_max: Annotated[int, TIME]
    ahead: AheadView
    latest: LatestView | None
    probe: ProbeView | None
    version: int


def add_bay(
    *,
    code: str,
    title: str,
    day: Decimal,
    night: Decimal,
    day_from: time,
    day_until: time,
    uncertainty: Decimal = DEFAULT_UNCERTAINTY_K,
    gap_max: Decimal = DEFAULT_GAP_S,
    checked_on: date | None = None,
    in_the_open: bool = False,
    now: int,
    hand: Hand,
) -> BayView:
    """Add a bay with its day/night pattern; temperatures in K, times of day in the yard's zone.

    Args:
        checked_on: when its thermometer was last checked.

    Raises:
        Invalid: a check on a day to come.
        AlreadyExists: the code is taken.
    """
    with writing():
        if bays.find_bay(code):
            raise AlreadyExists(
                f"There is a bay {code} already.", advice="Choose another code.", pointer="/code"
            )
        row = bays.add(
            code,
            title=title,
            uncertainty_mk=conversions.milli(uncertainty),
            gap_max_s=int(gap_max),
            made_at=now,
            checked_on=_checked(checked_on, now),
            in_the_open=in_the_open,
        )
        pattern = _pattern(day, night, day_from, day_until)
        bays.add_pattern(row.id, at=now, **pattern, **hand.signed(now))
        return show_bay(row, now)


def change_bay(
    row: Bay,
    *,
    now: int,
    hand: Hand,
    title: str | None = None,
    uncertainty: Decimal | None = None,
    gap_max: Decimal | None = None,
    checked_on: date | None = None,
    in_the_open: bool | None = None,
    day: Decimal | None = None,
    night: Decimal | None = None,
    day_from: time | None = None,
    day_until: time | None = None,
) -> BayView:
    """Change a bay. A new pattern applies from now on; the time before keeps the old one.

    Raises: Invalid: a check on a day to come.
    """
    with writing():
        changes = {
            "title": title,
            "uncertainty_mk": None if uncertainty is None else conversions.milli(uncertainty),
            "gap_max_s": None if gap_max is None else int(gap_max),
            "checked_on": _checked(checked_on, now),
            "in_the_open": in_the_open,
        }
        known = {name: value for name, value in changes.items() if value is not None}
        changed = differing(row, known)
        old = bays.patterns(row.id)[-1]
        pattern = _pattern(
            conversions.kelvin(old.day_mk) if day is None else day,
            conversions.kelvin(old.night_mk) if night is None else night,
            time.fromisoformat(old.day_from) if day_from is None else day_from,
            time.fromisoformat(old.day_until) if day_until is None else day_until,
        )
        if differing(old, pattern):
            bays.add_pattern(row.id, at=now, **pattern, **hand.signed(now))
        if changed or differing(old, pattern):
            bays.change(row.id, **changed)
        return show_bay(finding.bay(row.code), now)


def _checked(on: date | None, now: int) -> date | None:
    if on is not None and on > moments.day_of(now):
        raise Invalid(
            "The thermometer can't have been checked on a day to come.",
            advice="Check the date.",
            pointer="/checked_on",
        )
    return on


def show_bay(row: Bay, now: int) -> BayView:
    """A bay with its current pattern and its latest reading."""
    return show_bays([row], now)[0]


def show_bays(rows: Sequence[Bay], now: int) -> list[BayView]:
    """As `show_bay`, for several bays, in as few queries as for one."""
    ids = [row.id for row in rows]
    patterns, latest = bays.patterns_of(ids), bays.latest_readings(ids)
    logged = air.Logs().at(ids, max((row.at for row in latest.values()), default=0))
    heard = probe.probes(ids, now)
    return [
        _show(
            row,
            patterns[row.id][-1],
            latest.get(row.id),
            logged.get(row.id),
            heard.get(row.id),
            now,
        )
        for row in rows
    ]


def list_bays(after: int | None, limit: int, now: int) -> list[BayView]:
    """Bays by age, after the one with that id."""
    return show_bays(bays.page(after, limit), now)


def _show(
    row: Bay,
    pattern: BayPattern,
    latest: Reading | None,
    log: Logged | None,
    heard: ProbeView | None,
    now: int,
) -> BayView:
    return BayView(
        id=row.id,
        code=row.code,
        title=row.title,
        pattern=PatternView(
            day=conversions.kelvin(pattern.day_mk),
            night=conversions.kelvin(pattern.night_mk),
            day_from=pattern.day_from,
            day_until=pattern.day_until,
        ),
        uncertainty=conversions.kelvin(row.uncertainty_mk),
        checked_on=row.checked_on,
        good_to=air.own_uncertainty(row, now),
        in_the_open=row.in_the_open,
        gap_max=row.gap_max_s,
        ahead=AheadView("guessed" if log is None else "log", air.ahead(row, log, now)),
        latest=None if latest is None else _show_latest(latest),
        probe=heard,
        version=row.version,
    )


def _show_latest(row: Reading) -> LatestView:
    return LatestView(
        row.at, conversions.kelvin(row.temperature_mk), conversions.percent(row.humidity_ppm)
    )


def _pattern(day: Decimal, night: Decimal, day_from: time, day_until: time) -> dict[str, int | str]:
    """The columns of a pattern."""
    return {
        "day_mk": conversions.milli(day),
        "night_mk": conversions.milli(night),
        "day_from": day_from.strftime("%H:%M"),
        "day_until": day_until.strftime("%H:%M"),
    }
