"""Record a bay's readings: one, or all of a logger's file. List them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from decimal import Decimal
from typing import Annotated, Any, NamedTuple, cast

from ...core.amounts.quantities import TEMPERATURE, ZERO_C
from ...core.amounts.views import Moment, View
from ...core.bays.jumps import Doubt, Said
from ...core.errors import Invalid, ReadingDiffers, gather
from ...core.frozen import frozen
from ...store import bays
from ...store.bays import Bay, Measured, Reading
from ...store.engine.database import writing
from ...store.engine.turns import Turn
from ...store.yard import withdrawals
from ...store.yard.hands import Hand
from ...store.yard.withdrawals import Withdrawal
from ..yard import conversions, finding, moments, permissions
from ..yard.taken_back import WithdrawnView, show_withdrawal
from . import air
from . import probe as probes

BELIEVABLE_K = (Decimal(repr(ZERO_C - 60)), Decimal(repr(ZERO_C + 120)))
"""Air in a shop, a store or a post-cure tent; beyond it a thermometer is broken."""

USUAL_K = (ZERO_C - 25, ZERO_C + 50)
"""Air that a shop or a store may well have; a post-cure tent is warmer (common practice, no
source)."""
LEAP_K = 20.0
"""How far a bay is seldom from what it was known or assumed to be (common practice, no source)."""

AGAIN = "read again, after one was taken back"
"""The reason of a reading that replaces one which was taken back."""

BY_HAND = "a hand read it"
"""The reason of a hand's reading that replaces a probe's of the same second."""

Told = Mapping[str, Any]
"""A reading in a request: `at` (epoch s), `temperature` (K), and `humidity_percent` if known.

`replaces` and a `reason` correct a reading of the same moment that differs.
"""


@frozen
class MeasuredView(View):
    """A reading in force."""

    at: Moment
    temperature: Annotated[Decimal, TEMPERATURE]
    humidity_percent: Decimal | None


@frozen
class ReadingView(View):
    """A reading on record, one that was replaced included; `doubt` where it is not believed."""

    id: int
    at: Moment
    temperature: Annotated[Decimal, TEMPERATURE]
    humidity_percent: Decimal | None
    replaces: int | None
    reason: str | None
    who: str
    recorded_at: Moment
    withdrawn: WithdrawnView | None
    probe: bool
    doubt: Doubt | None


@frozen
class MarkedView(MeasuredView):
    """A reading in force, with its doubt where it is not believed."""

    doubt: Doubt | None


@frozen
class ReadingsView(View):
    """What became of the readings; `doubted` of those recorded are not believed yet."""

    recorded: int
    unchanged: int
    replaced: int
    doubted: int = 0


class Checked(NamedTuple):
    """A reading that a bay can have: its values as they are kept, and what was told with it."""

    at: int
    temperature_mk: int
    humidity_ppm: int | None
    told: Told


def check(readings: Sequence[Told], *, now: int, hand: Hand, probe: bool = False) -> list[Checked]:
    """Check readings by themselves, which needs nothing of the store.

    Whoever has many does it before the store is locked, and gives `read_bay` what it made.

    Raises: Invalid: a moment still to come, or a temperature that no bay has; a probe's
    correction, or a sensor's reading that is too old.
    """
    (low, high), latest = BELIEVABLE_K, now + moments.AHEAD_MAX_S
    odd = [
        number
        for number, each in enumerate(readings)
        if each["at"] > latest or not low <= each["temperature"] <= high
    ]
    gather(*(_fault(number, readings[number], now) for number in odd))
    if probe or hand.role == "sensor":
        readings = probes.taken(readings, now, hand)
    milli, ppm = conversions.milli, conversions.ppm
    return [
        Checked(each["at"], milli(each["temperature"]), ppm(each.get("humidity_percent")), each)
        for each in readings
    ]


def read_bay(
    *, bay: str, readings: Sequence[Told], now: int, hand: Hand, probe: bool = False
) -> ReadingsView:
    """Record readings of a bay: all of them, or none if one is refused.

    A reading that is on record with the same value is unchanged. A hand's replaces a probe's.

    Args:
        probe: whether a probe sent them by itself, as a sensor always does: one that jumped is
            kept, and not believed until the next ones confirm it.

    Raises:
        ReadingDiffers: a moment has a reading with another value, and is not to be corrected.
        Invalid: as `check`.
        NotAllowed: a hand may correct only its own readings of the last day; a sensor's own bay
            is another.
    """
    checked = check(readings, now=now, hand=hand, probe=probe)
    return record(bay=bay, readings=checked, now=now, hand=hand, probe=probe)


def record(
    *, bay: str, readings: Sequence[Checked], now: int, hand: Hand, probe: bool = False
) -> ReadingsView:
    """As `read_bay`, of readings that `check` made for the same moment, hand and probe."""
    with writing(Turn.CLOCK):
        probes.check_sensor(bay, hand)
        its_bay = finding.bay(bay)
        probe = probe or hand.role == "sensor"
        fresh, became = _sorted_out(its_bay, readings, probe)
        by_hand = {each.replaces for each in fresh if each.by_hand and each.replaces}
        _check_allowed(by_hand, now, hand)
        ends = _taken_back(its_bay, [each.reading.at for each in fresh])
        said = probes.judged(its_bay, map(_heat, fresh)) if probe else {}
        signed = hand.signed(now)
        rows = [_row(its_bay, each, ends, said, signed) for each in fresh]
        bays.write_readings(rows)
        doubted = sum(row["doubt"] is not None for row in rows)
        return ReadingsView(became["recorded"], became["unchanged"], became["replaced"], doubted)


def is_doubtful(bay: Bay, temperature: Decimal, now: int) -> bool:
    """Whether a temperature (K) of a bay now is so odd that a hand should say it again.

    It may be of another unit, or a digit too long: 115 for 11.5.
    """
    low, high = USUAL_K
    known = air.taken(bay, now).temperature
    return not low <= temperature <= high or abs(float(temperature) - known) > LEAP_K


def list_readings(bay_id: int, after: int | None, limit: int) -> list[ReadingView]:
    """Every reading on record of a bay, also those replaced or taken back, the newest entry first.

    It starts after the one with that id.
    """
    rows = bays.entries(bay_id, after, limit)
    taken = withdrawals.of_rows("reading", [row.id for row in rows])
    doubted = bays.unbelieved(row.id for row in rows if row.doubt is not None)
    return [_show(row, taken.get(row.id), row.id in doubted) for row in rows]


def pages_in_force(bay_id: int, rows: int) -> Iterator[list[MarkedView]]:
    """Every reading of a bay that is in force when the first page is read, the oldest first.

    Also those that are not believed then. Each page is a read of its own: between two of them the
    store is nobody's.

    Args:
        rows: how many a page has at most.
    """
    until, doubts = bays.last_entries(), bays.doubts(bay_id)
    page = bays.measured_after(bay_id, None, rows, until=until)
    while page:
        following = bays.measured_after(bay_id, page[-1], rows, until=until)
        at_next = following[0].at if following else None
        moments_of = [*(row.at for row in page[1:]), at_next]
        yield [
            _marked(row, doubts.get(row.id))
            for row, then in zip(page, moments_of, strict=True)
            if row.at != then  # the last word of a moment counts
        ]
        page = following


def _marked(row: Measured, doubt: str | None) -> MarkedView:
    return MarkedView(
        row.at,
        conversions.kelvin(row.temperature_mk),
        conversions.percent(row.humidity_ppm),
        cast("Doubt | None", doubt),
    )


def _show(row: Reading, taken: Withdrawal | None, doubted: bool) -> ReadingView:
    return ReadingView(
        id=row.id,
        at=row.at,
        temperature=conversions.kelvin(row.temperature_mk),
        humidity_percent=conversions.percent(row.humidity_ppm),
        replaces=row.replaces_id,
        reason=row.reason,
        who=row.who,
        recorded_at=row.recorded_at,
        withdrawn=None if taken is None else show_withdrawal(taken),
        probe=row.probe,
        doubt=cast("Doubt", row.doubt) if doubted else None,
    )


def _fault(number: int, reading: Told, now: int) -> Invalid | None:
    pointer = f"/readings/{number}"
    low, high = BELIEVABLE_K
    if not low <= reading["temperature"] <= high:
        return Invalid(
            "No bay is that hot or that cold.",
            advice="Check the number and its unit.",
            pointer=f"{pointer}/temperature",
        )
    try:
        moments.happened(reading["at"], now, f"{pointer}/at")
    except Invalid as refusal:
        return refusal
    return None


class _Fresh(NamedTuple):
    """A reading to write, the id of the one that it replaces, and whether a hand said that one."""

    reading: Checked
    replaces: int | None = None
    by_hand: bool = False


def _sorted_out(
    bay: Bay, readings: Sequence[Checked], probe: bool
) -> tuple[list[_Fresh], Counter[str]]:
    """The readings to write; and how many became what."""
    times = [reading.at for reading in readings]
    rows = bays.readings(bay.id, min(times), max(times), doubted=True)
    in_force: dict[int, Measured | Checked] = {row.at: row for row in rows}
    fresh: list[_Fresh] = []
    became: Counter[str] = Counter()
    for number, reading in enumerate(readings):
        before = in_force.get(reading.at)
        if before is None:
            fresh.append(_Fresh(reading))
        elif _value(before) == _value(reading):
            became["unchanged"] += 1
            continue
        else:
            fresh.append(_replacing(bay, number, reading, before, probe))
            became["replaced"] += 1
        in_force[reading.at] = reading
    became["recorded"] = len(fresh) - became["replaced"]
    return fresh, became


def _value(reading: Measured | Checked) -> tuple[int, int | None]:
    return reading.temperature_mk, reading.humidity_ppm


def _replacing(
    bay: Bay, number: int, reading: Checked, before: Measured | Checked, probe: bool
) -> _Fresh:
    """A reading of a moment that has another one; what a probe said a hand corrects by itself."""
    if isinstance(before, Checked):
        return _Fresh(reading, _replaced(bay, number, reading.told, None), by_hand=True)
    told = reading.told
    if before.probe and not probe:
        told = {"reason": BY_HAND, **told, "replaces": True}
    replaces = _replaced(bay, number, told, before.id)
    return _Fresh(reading._replace(told=told), replaces, by_hand=probe or not before.probe)


def _replaced(bay: Bay, number: int, reading: Told, standing: int | None) -> int:
    """The id of the reading that this one corrects.

    Args:
        standing: that id; None where the other reading is in the same request.
    """
    if standing is not None and reading.get("replaces") and reading.get("reason"):
        return standing
    where = "this request has" if standing is None else f"{bay.code} has"
    raise ReadingDiffers(
        f"For {moments.noted(reading['at'])} {where} another reading.",
        advice="To correct it, send it with 'replaces' and a 'reason'; the old one stays on "
        "record.",
        pointer=f"/readings/{number}",
    )


def _check_allowed(replaced: Iterable[int], now: int, hand: Hand) -> None:
    if hand.is_at_least("lead"):
        return
    for row in bays.find_readings(replaced):
        permissions.may_undo(row, now, hand)


def _taken_back(bay: Bay, times: list[int]) -> dict[int, int]:
    """Moment → the id of its reading that was taken back; the new one replaces it."""
    return bays.taken_back(bay.id, min(times), max(times)) if times else {}


def _heat(fresh: _Fresh) -> tuple[int, float]:
    """The moment and the temperature, K, of a reading to write."""
    return fresh.reading.at, fresh.reading.temperature_mk / 1000


def _row(
    bay: Bay,
    fresh: _Fresh,
    ends: Mapping[int, int],
    said: Mapping[int, Said],
    signed: Mapping[str, Any],
) -> dict[str, Any]:
    """The columns of a new reading; what a probe's has of its own is None where a hand said it."""
    at, heat, damp, told = fresh.reading
    replaces = ends.get(at, fresh.replaces)
    by_probe = said.get(at)
    return {
        "bay_id": bay.id,
        "at": at,
        "temperature_mk": heat,
        "humidity_ppm": damp,
        "replaces_id": replaces,
        "reason": told.get("reason") or (AGAIN if replaces else None),
        **signed,
        "probe": by_probe is not None,
        "doubt": None if by_probe is None else by_probe.doubt,
        "level_from": None if by_probe is None else by_probe.level_from,
    }
