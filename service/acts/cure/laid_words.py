"""Warnings with a layup that was recorded: cold, damp, thin, and the layer below it."""

from __future__ import annotations

from decimal import Decimal

from ...core.amounts import hours
from ...core.amounts.sentences import at_least, heat
from ...core.bays import dew_point, heating
from ...core.cure import recoat
from ...core.products.cure_sheet import PERCENT_NEVER_OVER, CureSheet
from ...core.words import Text, say
from ...store import bays
from ...store.bays import Bay
from ...store.cure.layups import Layup
from ...store.cure.pots import Batch
from ..bays import air
from ..yard import moments
from . import bonding, watch, wax

_UNTOUCHED = "Nobody has touched it with a glove: its window is a forecast. Touch it first."


def on_face(row: Layup, sheet: CureSheet, bay: Bay) -> list[Text]:
    """Words on a surface that is damp or too cold, and on a film too thin to cure."""
    known = row.surface_mk is not None
    taken = None if known else air.taken(bay, row.applied_at)
    surface = (row.surface_mk or 0) / 1000 if taken is None else taken.temperature
    words = _dew(bay, surface, row.applied_at)
    if sheet.apply_min is not None and surface < sheet.apply_min:
        kept = heating.with_margin(sheet.apply_min, air.own_uncertainty(bay, row.applied_at))
        rests = "" if taken is None else say(" ({})", taken.words(row.recorded_at))
        words.append(
            say(
                "Colder than it may be laid up, {}{}: warm it now to at least {}, flameless and "
                "ducted.",
                heat(sheet.apply_min, 0),
                rests,
                at_least(kept),
            )
        )
    if sheet.build_min and row.thickness_um and row.thickness_um < sheet.build_min:
        words.append("A film this thin may not cure.")
    return words


def _dew(bay: Bay, surface: float, at: int) -> list[Text]:
    """The caution for a surface (K) too near the dew point, where the humidity was measured."""
    humid = bays.humidity_near(bay.id, at, bay.gap_max_s)
    if humid is None:
        return []
    dew = dew_point.dew_point(humid.temperature_mk / 1000, (humid.humidity_ppm or 0) / 1e4)
    word = dew_point.dew_caution(surface, dew)
    return [] if word is None else [word]


def on_percent(percent: Decimal | None) -> list[Text]:
    """A word on more catalyst than cures."""
    if percent is None or percent <= PERCENT_NEVER_OVER:
        return []
    return [
        f"{percent:g} % of catalyst is over {PERCENT_NEVER_OVER:g} %: it may never cure. Probe it "
        "before anything goes on it."
    ]


def on_pots(pots: list[Batch], at: int, done: int) -> list[Text]:
    """A word on each pot that was spread past its working time; laid from `at` until `done`.

    A pot that must have gelled before `at` has a stop of its own, in `laid_late`.
    """
    return [
        f"Pot {pot.id} was to be spread by {moments.noted(hours.minute(pot.spread_by))}: scrape "
        "off what went on stiff, stringy or in lumps."
        for pot in pots
        if done > pot.spread_by
        and (pot.gel_latest_s is None or at <= pot.mixed_at + pot.gel_latest_s)
    ]


def on_bond(below: Layup, row: Layup) -> list[Text]:
    """Words on the bond with the layer below, as that was when this was laid on it."""
    stood = watch.as_it_stood(below, row.applied_at)
    if stood.touch.scraped_off is not None:
        return [f"Layup {below.id} was scraped off: this lies on the layer below it."]
    if stood.moisture is not None and not stood.found["through"].reached(row.applied_at):
        return [
            f"Layup {below.id} is not known to be cured through: covered, it gets no more moisture "
            "from the air, and may stay soft inside."
        ]
    bond = bonding.bond(stood, row, row.applied_at)
    words: list[Text] = [*wax.below(below, stood, row.applied_at)]
    if bond.steps and not words:
        untouched = f" {_UNTOUCHED}" if recoat.TOUCH in bond.steps else ""
        steps = ", then ".join(bond.steps)
        words.append(f"Layup {below.id} needed this first: {steps}.{untouched}")
    if bond.warning is not None:
        words.append(bond.warning)
    return words


def on_heat(below: Layup, row: Layup) -> list[Text]:
    """A word on paint or fairing over a layer whose post-cure is still to come."""
    heat = watch.as_it_stood(below, row.applied_at).post_cure
    if row.kind != "coat" or heat is None or heat.done_at is not None:
        return []
    return [
        say(
            "Layup {} below still wants its {}: post-cure comes before fairing and paint, which "
            "the heat would move or blister.",
            below.id,
            heat.words(),
        )
    ]
