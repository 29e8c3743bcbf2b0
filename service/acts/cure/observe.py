"""Observe a layup: what a hand saw or felt counts before the computed times."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import replace
from math import floor
from typing import Any

from ...core.cure import moisture_step, wet_film
from ...core.cure.bag import BAG_OFF, BAGGED
from ...core.cure.leaks import below_air
from ...core.errors import Invalid, UnsoundBelow
from ...core.products import hardness
from ...core.products.hardness import Scale
from ...core.words import say
from ...store.cure import layups
from ...store.cure.layups import Layup
from ...store.engine.database import writing
from ...store.engine.turns import Turn
from ...store.yard.hands import Hand
from ..yard import finding, moments, permissions
from . import early_look, ending, hand_over, leak_tests, watch
from .leak_tests import air_told
from .show import LayupView, show_layup
from .watch import Watched

KINDS = (
    "gelled",
    "not_gelled",
    "no_transfer",
    "green",
    "thumbnail",
    "hardness",
    "solvent_wipe",
    "wet_film",
    "blush",
    "sanded",
    "covered",
    "handed_over",
    "scraped_off",
    BAGGED,
    BAG_OFF,
)


def observe_layup(
    row: Layup,
    *,
    kind: str,
    now: int,
    hand: Hand,
    at: int | None = None,
    value: int | None = None,
    note: str | None = None,
    readings: list[int] | None = None,
    scale: Scale | None = None,
    face: str | None = None,
    met: list[str] | None = None,
    pressure: Any = None,
    absolute: bool = False,
    air_pressure: Any = None,
    wet_films: list[Any] | None = None,
    override: Mapping[str, str] | None = None,
) -> LayupView:
    """Record what a hand saw of a layup.

    The watch ends with 'covered', 'handed_over' and 'scraped_off'. A layup in trouble that was
    not scraped off is still watched, until somebody says what became of it.

    Args:
        value: of a hardness, which alone proves no structural work; or `readings`, ten to thirty:
            the value is their mean without the highest and the lowest, rounded down.
        scale: of a hardness; else the sheet's. face: what was read, where it is not the layup's
            own. met: the conditions of `hardness.CONDITIONS` that were met.
        wet_films: readings of a gauge in a wet coat, µm.
        pressure: of a bag, Pa below the air; or absolute, and then with the `air_pressure`.
        override: the `reason` to hand over what is not cured, or to cover what is not sound.

    Raises:
        Invalid: before it was laid down; a hardness without its value, or with both, or on another
            scale than the sheet's; a wet film of what is no coat; a look that finds only the skin
            of what cures by moisture; a pressure of no bag; a bag taken off that is not on.
        UnsoundBelow: covered while it was not sound, and no lead overrides that.
        NotCured, NotAllowed: as `hand_over.check`.
    """
    with writing(Turn.CLOCK):
        finding.refuse_signed(row.job)
        finding.must_be_laid(row)
        began = layups.started(row, layups.batches_of(row.id))
        at = observed_at(at, began, "laid down", now, hand)
        before = watch.as_it_stood(row, at)
        _refuse_gone(before)
        _refuse_of_skin(before, kind, at)
        if kind == "handed_over":
            hand_over.check(row, at, override, now, hand)
        vacuum = _vacuum(before, kind, pressure, absolute, air_pressure)
        early = early_look.doubts(before, kind, at)
        films = _films(row, kind, wet_films)
        sheet = before.layer.sheet
        film = wet_film.doubts(films, sheet.build_min, sheet.build_max) if films else []
        unsound = _covered_unsound(row, at, override, now, hand) if kind == "covered" else None
        if kind == "scraped_off":
            _take_off(row, at, now, hand)
        layups.observe(
            row.id,
            kind,
            at=at,
            now=now,
            hand=hand,
            value=_value(kind, value, readings),
            note=note,
            readings=_kept(readings, films),
            **_taken(row, kind, scale, face, met, now),
            **vacuum,
        )
        if kind in layups.ENDS:
            sound = kind == "scraped_off" or ending.is_sound(row, unsound, now)
            ending.end(row, at, note or kind, sound=sound, now=now, hand=hand)
            below = layups.below(row)
            if kind == "scraped_off" and below is not None:
                ending.judge_again(below, now, hand)
        ending.settle(row, at, now, hand)
        watched = watch.watch(finding.layup(row.id), now)
        shown = show_layup(watched)
        leaks = leak_tests.failed(row.job) if kind == BAGGED else []
        told = [*early, *film, *leaks, *hand_over.doubts(watched)]
        told += hand_over.one_value(watched) if kind == "hardness" else []
        return replace(shown, warnings=[*shown.warnings, *told])


def observed_at(at: int | None, began: int, word: str, now: int, hand: Hand) -> int:
    """When something was seen, epoch s; now if that is not said.

    Args:
        began: when the thing began to be there, epoch s. word: how it did, such as 'mixed'.

    Raises: Invalid: before that. As `moments.happened`.
    """
    at = moments.happened(at, now, "/at", by=hand)
    if at < began:
        raise Invalid(f"That is before it was {word}.", advice="Check the time.", pointer="/at")
    return at


def _refuse_of_skin(before: Watched, kind: str, at: int) -> None:
    """Refuse a look that finds only the skin of what cures by moisture, until it is through."""
    if before.moisture is None or kind in moisture_step.WORKS:
        return
    if before.found["through"].reached(at):
        return
    raise Invalid(
        f"Layup {before.row.id} cures by moisture from its face: a hand finds its skin, and not "
        "how deep it is.",
        advice="Note 'gelled' for a skin, 'not_gelled' for none. More counts once its clock says "
        "that it is cured through.",
        pointer="/kind",
    )


def _refuse_gone(before: Watched) -> None:
    """Refuse a layup that was scraped off, and not found wet since: nobody can feel it."""
    gone = before.touch.scraped_off
    if gone is not None:
        raise Invalid(
            f"Layup {before.row.id} was scraped off at {moments.noted(gone)}.",
            advice="If it was not scraped off, take that observation back first.",
            pointer="/kind",
        )


def _covered_unsound(
    row: Layup, at: int, override: Mapping[str, str] | None, now: int, hand: Hand
) -> UnsoundBelow | None:
    """Why a layup was not sound when it was covered, set aside by a lead; None where it was.

    Raises: UnsoundBelow: nobody overrides.
    """
    reason = permissions.reason_of(override, hand)
    unsound = ending.unsound_below(row, at, "/kind")
    if unsound is None:
        return None
    if reason is None:
        raise unsound
    permissions.overridden(
        unsound.slug,
        reason,
        say("layup {}, {}: {}", row.id, row.title, unsound.detail),
        now=now,
        hand=hand,
        layup_id=row.id,
        job_id=row.job.id,
    )
    return unsound


def _take_off(row: Layup, at: int, now: int, hand: Hand) -> None:
    """The layers on top come off with a layer."""
    for upper in layups.laid_over(row):
        when, note = max(at, upper.applied_at), layups.came_off_with(row)
        layups.observe(upper.id, "scraped_off", at=when, note=note, now=now, hand=hand)
        ending.end(upper, when, note, sound=True, now=now, hand=hand)
        _take_off(upper, at, now, hand)


def _taken(
    row: Layup, kind: str, scale: Scale | None, face: str | None, met: list[str] | None, now: int
) -> dict[str, str | None]:
    """How a hardness was taken, as columns.

    Raises: Invalid: it is no hardness; as `hand_over.check_scale`.
    """
    if kind != "hardness":
        if scale or face or met:
            raise Invalid(
                "Only a hardness has a scale, a face and conditions.", advice="Leave them out."
            )
        return {}
    said = [each for each in hardness.CONDITIONS if each in (met or ())]
    return {"scale": hand_over.check_scale(row, scale, now), "face": face, "met": " ".join(said)}


def _vacuum(
    before: Watched, kind: str, pressure: Any, absolute: bool, air_pressure: Any
) -> dict[str, int | None]:
    """The vacuum of a bag, as columns.

    Raises: Invalid: a pressure of no bag, or of no vacuum; a bag taken off that is not on. As
    `air_told`.
    """
    if kind == BAG_OFF and (before.bag is None or not before.bag.is_on):
        raise Invalid(
            f"Layup {before.row.id} was not under a bag then.",
            advice="Note 'bagged' first, at the time when the pump went on.",
            pointer="/kind",
        )
    air = air_told(absolute, air_pressure)
    if pressure is None and air is None:
        return {}
    if kind != BAGGED or pressure is None:
        raise Invalid(
            "A pressure is that of a bag.",
            advice="Give it with 'bagged', or leave it out.",
            pointer="/pressure",
        )
    vacuum = below_air(round(pressure), air)
    if vacuum == 0:
        raise Invalid(
            "At the air's own pressure a bag presses on nothing.",
            advice="Give what the gauge shows below the air, or leave the pressure out.",
            pointer="/pressure",
        )
    return {"pressure_pa": vacuum, "air_pa": air}


def _films(row: Layup, kind: str, wet_films: list[Any] | None) -> list[int]:
    """The readings of a wet film, µm; empty where it is another look.

    Raises: Invalid.
    """
    if kind != "wet_film":
        if wet_films:
            raise Invalid(
                "Only a wet film has these readings.", advice="Leave them out.",
                pointer="/wet_films",
            )  # fmt: skip
        return []
    if row.kind != "coat":
        raise Invalid(
            f"Layup {row.id} is a {row.kind}: a wet film is measured of a coat.",
            advice="Give the thickness of other layers when they are laid.",
            pointer="/kind",
        )
    if not wet_films:
        raise Invalid(
            "A wet film needs its readings.",
            advice="Press the gauge in at three places or more, and give each.",
            pointer="/wet_films",
        )
    return [round(each) for each in wet_films]


def _kept(readings: list[int] | None, films: list[int]) -> str | None:
    """The readings of a hardness or of a wet film, as they are kept."""
    return json.dumps(films or readings) if films or readings is not None else None


def _value(kind: str, value: int | None, readings: list[int] | None) -> int | None:
    if kind != "hardness" and readings is not None:
        raise Invalid(
            "Only a hardness has readings.", advice="Leave them out.", pointer="/readings"
        )
    if kind == "hardness" and (value is None) == (readings is None):
        raise Invalid(
            "A hardness needs either a value or readings.",
            advice="Give 10 to 30 readings. A value alone is kept, and proves no structural work.",
            pointer="/value",
        )
    return value if readings is None else floor(hardness.of_readings(readings)[0])
