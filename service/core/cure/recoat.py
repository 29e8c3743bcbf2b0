"""The recoat rule: when the next coat can go on a layer, and how the layer is prepared for it.

Inside its recoat window a layer is still green: the next coat bonds to it chemically, without
abrading. The window

- opens after the cure sheet's time on the cure clock, from the end of application, once the last
  pot is ready. In the cold that clock pauses.
- shuts after the sheet's time on a clock that does not pause in the cold, or after its
  `closes_after` by the wall clock, whichever is first; both run from the mixing of each pot, and
  the first pot to shut decides.
- counts only between the latest time that it may open and the earliest that it may shut.
- never opens on a bare waxed or unknown surface. A peel ply or film keeps the wax off.

A glove that comes away clean opens it at once; nothing that a hand finds shuts it later. Past the
window the face is washed, wiped and abraded (`prepare`). Whether the two chemistries go together
is a question of its own: see `compatibility`.

The steps and times are common practice, no source, unless a line names one.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import inf
from types import MappingProxyType
from typing import Literal

import numpy as np

from ..bays.temperature import Floats, Trace
from ..products import cautions
from ..products.cure_sheet import CureSheet, Surface
from .layer import Cover, LaidPot, Layer, Layers
from .milestones import HOUR_S, Milestone
from .scenarios import Band, Scenario, Scenarios, Share, Widths

Stand = Literal["before", "open", "past"]
"""Before, inside or past the recoat window."""

ASSUMED_CLOSES_AFTER_S = 24 * 3600
"""From mixing to the end of the window where the sheet gives no closing (yard practice, no
source)."""


def never(layer: Layer) -> str | None:
    """Why a layer has no recoat window at all, or None: nothing bonds to wax."""
    waxed = layer.surface in ("waxed", "unknown") and layer.cover == "none"
    return "waxed-surface" if waxed else None


def closing(scenarios: Scenarios, width: Floats) -> Band:
    """When the window of each layer shuts.

    Args:
        width: half-width of the band as a share of the time, for each pot.
    """
    layers, wall = scenarios.layers, wall_clock_end(scenarios)
    stage = layers.sheet.stage("recoat_closes")
    if stage is None:
        return Band(scenarios, width, lambda scenario, share: wall)
    stretch = layers.shortest(scenarios.least_seen)

    def moments(scenario: Scenario, share: Share) -> Floats:
        span = layers.stage_age(stage, scenario.E) * stretch * share
        # Without the floor: a face that is too cold to cure still loses its green bond.
        return np.minimum(layers.soonest(scenario.without_floor(span)), wall)

    return Band(scenarios, width, moments)


def wall_clock_end(scenarios: Scenarios) -> Floats:
    """When the wall clock shuts the window of each layer, epoch s; infinite without a limit."""
    sheet, after = scenarios.layers.sheet, scenarios.layers.sheet.closes_after
    if after is None:
        after = ASSUMED_CLOSES_AFTER_S if closing_is_assumed(sheet) else inf
    return scenarios.layers.soonest(scenarios.layers.started + after)


def closing_is_assumed(sheet: CureSheet) -> bool:
    """Whether the sheet gives no closing, by the cure clock or by the wall clock."""
    return sheet.stage("recoat_closes") is None and sheet.closes_after is None


def closing_notes(scenarios: Scenarios, band: Band) -> list[str | None]:
    """For each layer, what its closing rests on where that is not the cure clock alone."""
    sheet, count = scenarios.layers.sheet, len(band.at)
    if closing_is_assumed(sheet):
        hours = ASSUMED_CLOSES_AFTER_S / HOUR_S
        return [f"The sheet gives no closing: {hours:g} h after mixing, assumed."] * count
    if sheet.closes_after is None:
        return [None] * count
    after = f"the sheet's {sheet.closes_after / HOUR_S:g} h after mixing"
    notes: list[str | None] = [None] * count
    wall = wall_clock_end(scenarios)
    for place in np.flatnonzero(band.at >= wall):
        notes[place] = f"At the latest by {after}."
    for place in np.flatnonzero(band.earliest >= wall):
        notes[place] = f"Shut by {after}, not by the cure clock."
    return notes


def opens_by_glove(found: Mapping[str, Milestone]) -> bool:
    """Whether a glove that comes away clean opens the window: always, unless the face is waxed."""
    return found["recoat_opens"].why != "waxed-surface"


def window(found: Mapping[str, Milestone]) -> tuple[float, float] | None:
    """The window (epoch s) from its latest opening to its earliest closing, or None."""
    opens, closes = found["recoat_opens"].latest, found["recoat_closes"].earliest
    return (opens, closes) if opens is not None and closes is not None and opens < closes else None


def stand(found: Mapping[str, Milestone], now: float) -> Stand:
    """Whether a layer is before, inside or past its recoat window.

    A waxed or unknown surface has no window: it is 'before' until it can be sanded, then 'past'.
    A layer that a hand found hard before its window opened is 'past': the clock was so wrong that
    a chemical bond can't be promised.

    Args:
        found: its milestones, with what hands found. now: epoch s.
    """
    hard = found["sandable"]
    if found["recoat_opens"].why == "waxed-surface":
        return "past" if hard.reached(now) else "before"
    held = window(found)
    if held is not None and held[0] <= now < held[1]:
        return "open"
    if hard.basis == "observed" and hard.reached(now):
        return "past"
    closes = found["recoat_closes"].earliest
    return "past" if closes is not None and now >= closes else "before"


@dataclass(frozen=True)
class Windows:
    """The windows of one layer begun at each of many starts: epoch s, infinite where never.

    Attributes:
        opens: latest opening. closes: earliest closing; minus infinity without a window.
        ready: the latest time by which it is hard enough to be abraded.
        stalled: when it has been too cold for too long, at the bay's own temperature.
    """

    opens: Floats
    closes: Floats
    ready: Floats
    stalled: Floats


def windows(layer: Layer, trace: Trace, uncertainty: float, starts: Floats) -> Windows:
    """The windows of a layer for each start; a chain plan asks for thousands at once.

    Args:
        layer: begun at any time; its length of application (`finished - started`) counts.
        trace: of the bay, over all starts and as far ahead as the plan looks.
        uncertainty: of the bay's temperature, K. starts: epoch s, within the trace.
    """
    scenarios = Scenarios(Layers.at(layer, starts), trace, uncertainty)
    width = np.stack([_width(layer, pot, trace, starts) for pot in layer.pots], axis=-1).ravel()
    abradable = next((n for n in ("sandable", "full_cure") if layer.sheet.stage(n)), "")
    nowhere = np.full_like(starts, inf)

    def latest(name: str) -> Floats:
        stage = layer.sheet.stage(name)
        return nowhere if stage is None else scenarios.stages([stage], width).latest[0]

    ready, stalled = latest(abradable), scenarios.middle.stalled
    if never(layer):
        return Windows(nowhere, -nowhere, ready, stalled)
    return Windows(latest("recoat_opens"), closing(scenarios, width).earliest, ready, stalled)


def _width(layer: Layer, pot: LaidPot, trace: Trace, starts: Floats) -> Floats:
    """Half-width of a pot's band after gel, for each start."""
    kelvins = trace.ats(starts + (pot.mixed_at - layer.started))
    different, which = np.unique(kelvins, return_inverse=True)
    return Widths.of(layer.law, [pot] * len(different), different).later[which]


@dataclass(frozen=True)
class Preparation:
    """The steps before the next coat, in order; the reason for them; cautions of that work."""

    steps: tuple[str, ...]
    reason: str
    cautions: tuple[str, ...] = ()


_CONFIRM = "confirm that it is hard below the tack"
_WASH = "wash with water and a pad, dry"
_ABRADE = "abrade to an even dull surface, remove the dust"
_WIPE = "solvent-wipe, let dry 15 min"
_STRIP = "strip the cover"
_NOTHING = Preparation((), "still green: the next layer bonds to it chemically")
_WAIT = Preparation(("wait",), "too soft to be covered")

_BY_SURFACE: Mapping[tuple[Surface, Stand], Preparation] = MappingProxyType(
    {
        ("air_inhibited", "open"): _NOTHING,
        ("air_inhibited", "past"): Preparation(
            (_CONFIRM, _WIPE, "grind to dull"),
            "the tack clogs the paper and hides a cured face that no longer bonds",
            cautions.DUST,
        ),
        ("waxed", "past"): Preparation(
            (_WIPE, _ABRADE), "wax has risen to the face; nothing bonds to wax", cautions.DUST
        ),
        ("amine_blush", "open"): Preparation(
            (), "still green: bonds chemically; if it feels greasy, wash it first"
        ),
        ("amine_blush", "past"): Preparation(
            (_WASH, _ABRADE),
            "blush is water-soluble: washed off first, or sanding drives it in",
            (*cautions.DUST, cautions.GREEN_DUST),
        ),
        ("plain", "open"): _NOTHING,
        ("plain", "past"): Preparation(
            (_ABRADE,), "a cured face bonds only to tooth", cautions.DUST
        ),
    }
)


def prepare(surface: Surface, stand: Stand, cover: Cover) -> Preparation:
    """How to prepare a surface for the next coat.

    An unknown surface is treated as waxed, and a waxed one always as past its window. A cover
    comes off first; it kept wax and tack away, so the face below it is a plain one.
    """
    if stand == "before":
        return _WAIT
    if cover != "none":
        below = _BY_SURFACE["plain", stand]
        return Preparation((_STRIP, *below.steps), below.reason, below.cautions)
    if surface in ("waxed", "unknown"):
        return _BY_SURFACE["waxed", "past"]
    return _BY_SURFACE[surface, stand]


def left_to_do(
    steps: Iterable[str],
    *,
    hard: bool = False,
    wiped: bool = False,
    abraded: bool = False,
    blush: bool = False,
) -> tuple[str, ...]:
    """The steps that nobody has done yet.

    Args:
        hard, wiped, abraded: what a hand found or did. blush: whether blush was seen since.
    """
    if abraded:
        return ()
    done = {_CONFIRM} if hard else set()
    done |= {_CONFIRM, _WIPE} if wiped else set()
    left = tuple(step for step in steps if step not in done)
    return (_WASH, *left) if blush and _WASH not in left else left
