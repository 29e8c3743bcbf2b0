"""What a probe says by itself: whether a sensor may, whether it is believed, when it is silent."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Annotated, Any, Literal

from ...core.amounts.quantities import TEMPERATURE
from ...core.amounts.views import Moment, Says, View
from ...core.bays import jumps, silence
from ...core.bays.jumps import Doubt, Said
from ...core.errors import Invalid, NotAllowed
from ...core.frozen import frozen
from ...store import bays
from ...store.bays import Bay, Reading
from ...store.yard.hands import Hand
from ..yard import settings

BACK_MAX_S = 72 * 3600
"""How old a sensor's reading may be: a listener keeps what it heard while the service was away, at
most over a weekend. What is older a hand enters, who can tell whether it is right."""

Told = Mapping[str, Any]


@frozen
class DoubtedView(View):
    """A probe's reading that is not believed: it `jumped`, or is `beyond` what a shop can be."""

    temperature: Annotated[float, TEMPERATURE]
    at: Moment
    doubt: Doubt


@frozen
class ProbeView(View):
    """A bay's probe: when it was last heard, whether it is silent, what of it is not believed."""

    at: Annotated[Moment, Says("When the probe was last heard.")]
    state: Annotated[
        Literal["heard", "silent"],
        Says("silent: for longer than four of its usual pauses, and half an hour at least."),
    ]
    doubted: Annotated[
        DoubtedView | None, Says("The bay's last reading, if it is not believed; else null.")
    ]


def check_sensor(bay: str, hand: Hand) -> None:
    """Check that a sensor speaks of its own bay; whoever is none may speak of any.

    Raises: NotAllowed: whether or not there is such a bay.
    """
    if hand.bay_id is None:
        return
    own = bays.bay(hand.bay_id)
    if bay.casefold() != own.code_key:
        raise NotAllowed(
            f"{hand.name} is the sensor of {own.code} alone.",
            advice=f"Send to {own.code}, or make a token for the other bay's sensor.",
        )


def taken(readings: Sequence[Told], now: int, hand: Hand) -> list[Told]:
    """A probe's readings as they are recorded: one a little ahead of our clock is as of now.

    Raises: Invalid: a correction, or a sensor's reading that is too old.
    """
    for number, reading in enumerate(readings):
        if reading.get("replaces") or reading.get("reason"):
            raise Invalid(
                "A probe corrects nothing.",
                advice="A hand corrects a reading, with 'replaces' and a 'reason'.",
                pointer=f"/readings/{number}",
            )
        if hand.role == "sensor" and reading["at"] < now - BACK_MAX_S:
            raise Invalid(
                f"A sensor's reading may be at most {BACK_MAX_S // 3600} h old.",
                advice="Check the device's clock; a hand may enter older readings.",
                pointer=f"/readings/{number}/at",
            )
    return [{**reading, "at": min(reading["at"], now)} for reading in readings]


def judged(bay: Bay, fresh: Iterable[tuple[int, float]]) -> dict[int, Said]:
    """Moment → a probe's new reading as it is believed or doubted, by what is on record.

    Args:
        fresh: (moment, epoch s; temperature, K) of readings whose moments have none in force.
    """
    new = dict(fresh)
    if not new:
        return {}
    start, jump = min(new), settings.jump()
    last, last_sure = (bays.last_before(bay.id, start, undoubted=so) for so in (False, True))
    before, sure = last and _said(last), last_sure and _said(last_sure)
    there = {row.at: row for row in bays.in_force(bay.id, start, max(new))}
    read_at = bays.last_read_by_hand(bay.id, start)
    found: dict[int, Said] = {}
    for at in sorted({*new, *there}):
        if at in new:
            said = jumps.judged(
                at, new[at], before=before, believed=sure, jump=jump, hand_read_at=read_at
            )
            found[at] = said
        else:
            said = _said(there[at])
            read_at = read_at if there[at].probe else at
        before, sure = said, said if said.doubt is None else sure
    return found


def _said(row: Reading) -> Said:
    return Said(row.at, row.temperature_mk / 1000, row.doubt, row.level_from)  # type: ignore[arg-type]  # the column holds no other words


def probes(of: Iterable[int], now: int) -> dict[int, ProbeView]:
    """Bay's id → its probe; a bay that never had one is left out."""
    moments = bays.probe_moments(list(of), silence.LOOKED_AT)
    doubted = doubts(moments)
    return {
        bay: ProbeView(
            at[-1], "silent" if silence.is_silent(at, now) else "heard", doubted.get(bay)
        )
        for bay, at in moments.items()
    }


def doubts(of: Iterable[int]) -> dict[int, DoubtedView]:
    """Bay's id → its last reading, of those bays where that is not believed."""
    last = bays.latest_readings(list(of), doubted=True)
    return {
        bay: DoubtedView(row.temperature_mk / 1000, row.at, row.doubt)  # type: ignore[arg-type]  # as above
        for bay, row in last.items()
        if row.doubt is not None  # nothing came after it that could confirm it
    }
