"""The recoat rule: when the next coat can go on a layer, and how the layer is prepared for it.

Inside its recoat window a layer is still green: the next coat bonds to it chemically, without
abrading. The window

- opens after the cure sheet's time on the cure clock, from the end of application, once the last
  pot is ready. In the cold that clock pauses.
- shuts after the sheet's time on a clock that does not pause in the cold, or after its
  `closes_after` by the wall clock, whichever is first; both run from the mixing of each pot, and
  the first pot to shut decides.
- is sure while it is green with the chance that the yard asks for (`windows`). From its likely
  opening to its likely closing a hand's touch can find it green.
- never opens on a bare waxed or unknown surface. A peel ply or film keeps the wax off.

A glove that comes away clean opens it at once; a late face that solvent makes soft is green now
(`green_test`). Past the window the face is washed, wiped and abraded (`prepare`). Whether the two
chemistries go together is a question of its own: see `compatibility`.

The steps and times are common practice, no source, unless a line names one.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from math import inf
from types import MappingProxyType
from typing import Literal

from .. import arrays as np
from ..amounts.hours import closing
from ..arrays import Floats
from ..frozen import frozen
from ..products import cautions
from ..products.cure_sheet import CureSheet, StageTime, Surface
from .chance import Edges
from .layer import Cover, Layer
from .layers import Layers
from .milestones import HOUR_S, Milestone

Stand = Literal["before", "open", "touch", "past"]
"""Before, inside or past the recoat window; or so near its ends that a hand must find out."""

ASSUMED_CLOSES_AFTER_S = 24 * 3600
"""From mixing to the end of the window where the sheet gives no closing (yard practice, no
source)."""


def never(layer: Layer) -> str | None:
    """Why a layer has no recoat window at all, or None: nothing bonds to wax."""
    waxed = layer.surface in ("waxed", "unknown") and layer.cover == "none"
    return "waxed-surface" if waxed else None


def closing_stage(sheet: CureSheet) -> StageTime | None:
    """The time after which the cure clock shuts the window, or None."""
    return sheet.stage("recoat_closes")


def wall_clock_end(layers: Layers) -> Floats:
    """When the wall clock shuts the window of each layer, epoch s; infinite without a limit."""
    sheet, after = layers.sheet, layers.sheet.closes_after
    if after is None:
        after = ASSUMED_CLOSES_AFTER_S if closing_is_assumed(sheet) else inf
    return layers.soonest(layers.started + after)


def closing_is_assumed(sheet: CureSheet) -> bool:
    """Whether the sheet gives no closing, by the cure clock or by the wall clock."""
    return closing_stage(sheet) is None and sheet.closes_after is None


def closing_notes(sheet: CureSheet, edges: Edges, wall: Floats) -> list[str | None]:
    """For each layer, what its closing rests on where that is not the cure clock alone.

    Args:
        wall: when the wall clock shuts it, epoch s.
    """
    count = len(edges.at)
    if closing_is_assumed(sheet):
        hours = ASSUMED_CLOSES_AFTER_S / HOUR_S
        return [f"The sheet gives no closing: {hours:g} h after mixing, assumed."] * count
    if sheet.closes_after is None:
        return [None] * count
    after = f"the sheet's {sheet.closes_after / HOUR_S:g} h after mixing"
    notes: list[str | None] = [None] * count
    for place in np.flatnonzero(edges.at >= wall):
        notes[place] = f"At the latest by {after}."
    for place in np.flatnonzero(edges.earliest >= wall):
        notes[place] = f"Shut by {after}, not by the cure clock."
    return notes


def opens_by_glove(found: Mapping[str, Milestone]) -> bool:
    """Whether a glove that comes away clean opens the window: always, unless the face is waxed."""
    return found["recoat_opens"].why != "waxed-surface"


def window(found: Mapping[str, Milestone]) -> tuple[float, float] | None:
    """The sure window (epoch s): from and until when it is surely green; None if never."""
    opens, closes = found["recoat_opens"].sure, found["recoat_closes"].sure
    return None if opens is None or closes is None else (opens, closes)


def touch_window(found: Mapping[str, Milestone]) -> tuple[float, float] | None:
    """The window (epoch s) from its likely opening to its likely closing, for a hand's touch."""
    opens, closes = found["recoat_opens"].at, found["recoat_closes"].at
    return None if opens is None or closes is None or opens >= closes else (opens, closes)


def stand(found: Mapping[str, Milestone], now: float) -> Stand:
    """Whether a layer is before, inside or past its recoat window, or must be touched.

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
    if held is not None and held[0] <= now < _shown_end(held):
        return "open"
    if hard.basis == "observed" and hard.reached(now):
        return "past"
    likely, closes = touch_window(found), found["recoat_closes"]
    if likely is not None:
        return "before" if now < likely[0] else "touch" if now < likely[1] else "past"
    ends = closes.earliest
    return "past" if ends is not None and now >= ends else "before"


def needs_touch(found: Mapping[str, Milestone], *, felt: bool, structural: bool) -> bool:
    """Whether a hand must touch a layer inside its window: structural work goes by no forecast.

    Args:
        felt: whether a hand found that it can be covered.
    """
    return structural and not felt and found["recoat_opens"].basis != "measured"


def _shown_end(held: tuple[float, float]) -> float:
    """The end of a window as screens show it, so that its state and its hour turn together."""
    opens, closes = held
    shown = closing(closes)
    return shown if shown > opens else closes


def green_test(surface: Surface) -> str:
    """How a hand finds out, late in the window, whether a face is still green."""
    if surface == "amine_blush":
        return "wash a spot with water, dry it, and press a thumbnail in: a mark is green"
    return "wipe a spot with acetone: soft is green, hard is not"


@frozen
class Preparation:
    """The steps before the next coat, in order; the reason for them; cautions of that work."""

    steps: tuple[str, ...]
    reason: str
    cautions: tuple[str, ...] = ()


TOUCH = "touch"
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
    comes off first; it kept wax and tack away, so the face below it is a plain one. Near the ends
    of the window a touch shows whether it is green.
    """
    if stand == "before":
        return _WAIT
    if stand == "touch":
        test = f"a glove that comes away clean; late in the window, {green_test(surface)}"
        return Preparation((test,), "near an end of its window a touch shows if it is green")
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
