"""Lay up: record what was laid down, of which pots, and show when it can be covered.

The part is wet already, so cold, damp or the wrong chemistry is a warning. A layup that is too
thick at once, on a layer that is not sound, or for a structural job without an authority is
refused until a lead overrides.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from ...core.errors import AuthorityMissing, Invalid, Refusal, UnsoundBelow, gather
from ...core.frozen import frozen
from ...core.words import Text, say
from ...store.bays import Bay
from ...store.cure import layups
from ...store.cure.layups import Layup
from ...store.engine import turns
from ...store.engine.database import writing
from ...store.engine.turns import Turn
from ...store.stock.jobs import Job
from ...store.yard.hands import Hand
from ..yard import conversions, finding, moments, permissions, settings
from . import (
    authority,
    binders,
    build,
    ending,
    gates,
    laid_words,
    material,
    one_lot,
    promise,
    watch,
    wax,
)
from .material import Material
from .show import LayupView, show_layup


@dataclass(frozen=True, kw_only=True)
class NewLayup:
    """A layup to record.

    Attributes:
        kind: laminate, coat, bond or pour.
        batches: ids of its pots; or `product` and `catalyst`, for what was not mixed here.
        applied_at, finished_at: when it went on, and when the last of it did; epoch s.
        surface_temperature: of the part, K. thickness: laid in one go, µm.
        tight_width: of a joint between two tight faces, of what cures by moisture, µm.
        over: the layup that it covers, whose watch ends with it if it is sound.
        over_surface: what else it lies on, one of `compatibility.FACES`.
        override: the `reason` to set a refusal aside.
    """

    job: str
    title: str
    kind: str
    bay: str
    batches: list[int] | None = None
    product: str | None = None
    catalyst: str | None = None
    catalyst_percent: Decimal | None = None
    applied_at: int | None = None
    finished_at: int | None = None
    surface_temperature: Decimal | None = None
    cover: str | None = None
    thickness: Decimal | None = None
    tight_width: Decimal | None = None
    over: int | None = None
    over_surface: str | None = None
    override: Mapping[str, str] | None = None


@frozen
class _Laid:
    """A layup with what it names looked up; it went on from `at` until `done`, epoch s."""

    asked: NewLayup
    job: Job
    bay: Bay
    at: int
    done: int
    material: Material
    below: Layup | None


@frozen
class _Judged:
    """The judgement of a layup before it is recorded.

    Attributes:
        set_aside: the slug of each refusal that an override sets aside, with its detail.
        unsound: why nothing may go on the layer below, or None.
        words: warnings. stopped: gates that say stop, in words.
    """

    reason: str | None
    set_aside: list[tuple[str, Text]]
    unsound: UnsoundBelow | None
    words: list[Text]
    stopped: list[Text]


def lay_up(*, now: int, hand: Hand, **asked: Any) -> LayupView:
    """Record a layup. The arguments are those of `NewLayup`.

    Raises:
        Invalid: pots of another product, lost, or mixed after they were laid down; a joint between
            tight faces of what does not cure by moisture.
        OutsideLimits: thicker than may be built at once, with what below has not cooled.
        UnsoundBelow: the layer below is wet, late, suspect, stalled cold or was last felt wet.
        AuthorityMissing: the job is structural and names no authority.
        UnknownReference, JobClosed, CureSheetMissing, PartnerMissing.
        Signed: the layer below belongs to a job that is signed.
    """
    with writing(Turn.CLOCK):
        laid = _look_up(NewLayup(**asked), now, hand)
        judged = _judge(laid, now, hand)
        unasked = authority.unasked_words(laid.job)
        waxed = wax.on_last_layer(laid.job, laid.at) if laid.below is None else []
        row = _record(laid, now, hand)
        words = [*unasked, *waxed, *_words(laid, row, judged)]
        if laid.below is not None:
            words += laid_words.on_bond(laid.below, row)
            words += laid_words.on_heat(laid.below, row)
            _cover(laid.below, row, judged.unsound, now, hand)
        for slug, detail in judged.set_aside:
            permissions.overridden(
                slug,
                judged.reason or "",
                say("layup {}, {}{}", row.id, row.title, detail),
                now=now,
                hand=hand,
                layup_id=row.id,
                job_id=row.job_id,
            )
        watched = watch.watch(row, now)
        layups.keep_told(row.id, promise.told(watched, settings.sure()))
        shown = show_layup(watched)
        return replace(shown, warnings=[*shown.warnings, *words, *judged.stopped])


def _look_up(asked: NewLayup, now: int, hand: Hand) -> _Laid:
    job = finding.open_job(asked.job, "/job")
    turns.lock_jobs([job.id])
    bay = finding.bay(asked.bay, "/bay")
    at = moments.happened(asked.applied_at, now, "/applied_at", by=hand)
    made_of = material.look_up(asked.batches, asked.product, asked.catalyst, asked.catalyst_percent)
    material.check_liquid(made_of.pots, at)
    if asked.tight_width is not None and not made_of.sheet.cures_by_moisture:
        raise Invalid(
            f"{made_of.product.code} does not cure by moisture: it cures between tight faces too.",
            advice="Leave the width between tight faces out.",
            pointer="/tight_width",
        )
    done = max(at, made_of.last_mixed)
    if asked.finished_at is not None:
        done = moments.happened(asked.finished_at, now, "/finished_at", by=hand)
    below = finding.laid(asked.over, "/over") if asked.over else None
    if below is not None:
        finding.refuse_signed(below.job)
    return _Laid(asked, job, bay, at, done, made_of, below)


def _judge(laid: _Laid, now: int, hand: Hand) -> _Judged:
    """Refuse the layup, or say what an override sets aside.

    Raises: as `lay_up`. NotAllowed: an override, and not by a lead.
    """
    asked, below = laid.asked, laid.below
    unnamed = authority.check_work(laid.job, asked.override, now, hand)
    stopped = gates.words(gates.stops(laid.job, laid.at, asked.bay))
    material.check_times(laid.material, laid.at, laid.done)
    reason = permissions.reason_of(asked.override, hand)
    new = build.New(asked.kind, laid.material.sheet, asked.thickness, asked.surface_temperature)
    too_thick, words = build.judge(new, below, laid.at)
    unsound = None if below is None else ending.unsound_below(below, laid.at, "/over")
    faults: list[Refusal] = [fault for fault in (too_thick, unsound) if fault is not None]
    if reason is None:
        gather(*faults)
    set_aside: list[tuple[str, Text]] = [(AuthorityMissing.slug, "")] if unnamed else []
    set_aside += [(fault.slug, say(": {}", fault.detail)) for fault in faults]
    return _Judged(reason, set_aside, unsound, words, stopped)


def _record(laid: _Laid, now: int, hand: Hand) -> Layup:
    asked, made_of = laid.asked, laid.material
    surface = asked.surface_temperature
    row = layups.add(
        now=now,
        hand=hand,
        job_id=laid.job.id,
        title=asked.title,
        kind=asked.kind,
        bay_id=laid.bay.id,
        product_id=made_of.product.id,
        catalyst_id=made_of.catalyst.id if made_of.catalyst else None,
        cure_sheet_id=made_of.kept.id,
        stated_percent_ppm=made_of.stated_ppm,
        applied_at=laid.at,
        finished_at=laid.done,
        surface_mk=None if surface is None else conversions.milli(surface),
        cover=asked.cover,
        thickness_um=conversions.nearest(asked.thickness),
        tight_um=conversions.nearest(asked.tight_width),
        over_id=laid.below.id if laid.below else None,
        over_surface=asked.over_surface,
        effects=made_of.effects,
    )
    for pot in made_of.pots:
        layups.add_pot(row.id, pot.id, now=now, hand=hand)
    return row


def _words(laid: _Laid, row: Layup, judged: _Judged) -> list[Text]:
    words: list[Text] = laid_words.on_face(row, laid.material.sheet, laid.bay)
    words += laid_words.on_percent(laid.asked.catalyst_percent)
    words += laid_words.on_pots(laid.material.pots, laid.at, laid.done)
    words += [*judged.words, *one_lot.of_layup(row, laid.material.pots)]
    if row.kind == "laminate":
        words += binders.words_of_job(laid.job, laid.material.product)
    return words


def _cover(below: Layup, row: Layup, unsound: UnsoundBelow | None, now: int, hand: Hand) -> None:
    """End the watch on the layer below if it is sound."""
    sound = ending.is_sound(below, unsound, now)
    reason = layups.covered_by(row)
    ending.end(below, row.applied_at, reason, sound=sound, now=now, hand=hand)
    ending.settle(below, row.applied_at, now, hand)
