"""Lay up: record what was laid down, of which pots, and say when it can be covered.

Cold, damp or the wrong chemistry is a warning, since the part is wet already. Too thick at once,
or on a layer that is not sound, it is refused until a lead overrides.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from ...core.amounts import sentences as worded
from ...core.bays import heating
from ...core.errors import AuthorityMissing, Invalid, UnsoundBelow, gather
from ...core.products.cure_sheet import PERCENT_NEVER_OVER
from ...store import cure_sheets as store_sheets
from ...store.bays import Bay
from ...store.cure import layups, pots
from ...store.cure.layups import Layup
from ...store.cure.pots import Batch
from ...store.engine.database import writing
from ...store.products import Product
from ...store.stock.lines import draws_of_batch
from ...store.yard.hands import Hand
from ..bays import air as bay_air
from ..products import cure_sheets
from ..products.cure_sheets import Kept
from ..yard import conversions as units
from ..yard import finding, moments
from ..yard import permissions as leave
from . import authority, binders, bonding, build, ending, gates, one_lot, watch


@dataclass(frozen=True)
class Material:
    """What was laid down, from its pots or, where nothing was mixed, from its product."""

    product: Product
    catalyst: Product | None
    kept: Kept
    stated_ppm: int | None
    effects: str
    pots: list[Batch]


def lay_up(
    *,
    job: str,
    title: str,
    kind: str,
    bay: str,
    now: int,
    hand: Hand,
    batches: list[int] | None = None,
    product: str | None = None,
    catalyst: str | None = None,
    catalyst_percent: Decimal | None = None,
    applied_at: int | None = None,
    finished_at: int | None = None,
    surface_temperature: Decimal | None = None,
    cover: str | None = None,
    thickness: Decimal | None = None,
    over: int | None = None,
    over_surface: str | None = None,
    override: dict[str, str] | None = None,
) -> dict[str, Any]:
    """Record a layup.

    Args:
        kind: laminate, coat, bond or pour.
        batches: ids of its pots, or product (and catalyst): for what is not mixed here.
        applied_at, finished_at: when it went on, and when the last of it did; epoch s.
        surface_temperature: of the part, K. thickness: laid in one go, µm.
        over: the layup that it covers, whose watch ends with it if it is sound.
        over_surface: what else it lies on, one of `compatibility.FACES`.

    Raises:
        Invalid: pots of another product, lost, or mixed after they were laid down.
        OutsideLimits: thicker than may be built at once, with what below has not cooled.
        UnsoundBelow: what it covers is wet, late, suspect, stalled cold or last felt wet.
        AuthorityMissing: the job is structural and names no authority.
        UnknownReference, JobClosed, CureSheetMissing, PartnerMissing.
    """
    with writing():
        work = finding.open_job(job, "/job")
        place = finding.bay(bay, "/bay")
        at = moments.happened(applied_at, now, "/applied_at", by=hand)
        material = _material(batches, product, catalyst, catalyst_percent)
        _check_liquid(material.pots, at)
        done = max(at, _last_mixed(material.pots))
        if finished_at is not None:
            done = moments.happened(finished_at, now, "/finished_at", by=hand)
        below = finding.laid(over, "/over") if over else None
        by_leave = authority.check_work(work, override, now, hand)
        unasked = authority.unasked_words(work)
        stopped = gates.words(gates.stops(work, at, bay))
        _check_times(at, done, material)
        reason = leave.reason_of(override, hand)
        laid = build.New(kind, material.kept.sheet, thickness, surface_temperature)
        built, thick_words = build.judge(laid, below, at)
        unsound = None if below is None else ending.unsound_below(below, at, "/over")
        faults = [fault for fault in (built, unsound) if fault is not None]
        if reason is None:
            gather(*faults)
        row = layups.add(
            now=now,
            hand=hand,
            job_id=work.id,
            title=title,
            kind=kind,
            bay_id=place.id,
            product_id=material.product.id,
            catalyst_id=material.catalyst.id if material.catalyst else None,
            cure_sheet_id=material.kept.id,
            stated_percent_ppm=material.stated_ppm,
            applied_at=at,
            finished_at=done,
            surface_mk=None if surface_temperature is None else units.milli(surface_temperature),
            cover=cover,
            thickness_um=units.nearest(thickness),
            over_id=below.id if below else None,
            over_surface=over_surface,
            effects=material.effects,
        )
        for pot in material.pots:
            layups.add_pot(row.id, pot.id, now=now, hand=hand)
        words = unasked + _warnings(row, material, place, at) + _percent_words(catalyst_percent)
        words += thick_words + one_lot.of_layup(row, material.pots)
        if kind == "laminate":
            words += binders.words_of_job(work, material.product)
        if below is not None:
            words += _cover_below(below, row, at, now, hand, unsound)
        if by_leave:
            leave.overridden(
                AuthorityMissing.slug, by_leave, f"layup {row.id}, {title}",
                now=now, hand=hand, layup_id=row.id, job_id=work.id,
            )  # fmt: skip
        for fault in faults:
            leave.overridden(
                fault.slug, reason or "", f"layup {row.id}, {title}: {fault.detail}",
                now=now, hand=hand, layup_id=row.id, job_id=work.id,
            )  # fmt: skip
        shown = watch.show(watch.watch(row, now))
        return {**shown, "warnings": [*shown["warnings"], *words, *stopped]}


def change_layup(
    row: Layup,
    *,
    now: int,
    hand: Hand,
    bay: str | None = None,
    title: str | None = None,
    cover: str | None = None,
    finished_at: int | None = None,
    moved_at: int | None = None,
) -> dict[str, Any]:
    """Carry a layup to another bay, cover it, or correct its words: what they were is kept.

    Raises: UnknownReference: no such bay. Invalid: a moment to come.
    """
    with writing():
        finding.must_be_laid(row)
        changes: dict[str, Any] = {"title": title, "cover": cover}
        if finished_at is not None:
            changes["finished_at"] = moments.happened(finished_at, now, "/finished_at", by=hand)
            pots = layups.batches_of(row.id)
            if finished_at < max(row.applied_at, _last_mixed(pots)):
                raise Invalid(
                    "The layup can't end before it began, nor before its last pot was mixed.",
                    advice="Check both times.",
                    pointer="/finished_at",
                )
        if bay is not None:
            at = moments.happened(moved_at, now, "/moved_at", by=hand)
            place = finding.bay(bay, "/bay")
            layups.move(row.id, place.id, at=at, now=now, hand=hand)
        known = {name: value for name, value in changes.items() if value is not None}
        layups.change(row, now=now, hand=hand, version=row.version + 1, **known)
        return watch.show(watch.watch(finding.layup(row.id), now))


def list_layups(
    after: int | None,
    limit: int,
    now: int,
    *,
    job: str | None = None,
    bay: str | None = None,
    curing: bool | None = None,
) -> list[dict[str, Any]]:
    """Layups, newest first, after the one with that id; of a job, laid up in a bay, curing."""
    rows = layups.page(
        after,
        limit,
        job_id=None if job is None else finding.job(job).id,
        bay_id=None if bay is None else finding.bay(bay).id,
        curing=curing,
    )
    return [watch.show(watched) for watched in watch.watch_all(rows, now)]


def _material(
    batches: list[int] | None,
    product: str | None,
    catalyst: str | None,
    percent: Decimal | None,
) -> Material:
    if bool(batches) == (product is not None):
        raise Invalid(
            "A layup needs either the pots that went in or a product.",
            advice="Name the pots of what was mixed here, or the product of what was not.",
        )
    if product is not None:
        return _unmixed(product, catalyst, percent)
    pots = [finding.batch(n, f"/batches/{i}") for i, n in enumerate(batches or ())]
    if len({pot.id for pot in pots}) < len(pots):
        raise Invalid("A pot is named twice.", advice="Name it once.", pointer="/batches")
    return _mixed(sorted(pots, key=lambda pot: (pot.mixed_at, pot.id)))


def _unmixed(code: str, catalyst: str | None, percent: Decimal | None) -> Material:
    product = finding.product(code, "/product")
    kept, partner = cure_sheets.pair(product, catalyst, weighed=False)
    sheet = kept.sheet
    if sheet.mix.kind == "catalysed" and percent is None:
        raise Invalid(
            f"{product.code} is catalysed, and its catalyst percent is missing.",
            advice="Give catalyst_percent, or mix the pot here first and name it.",
            pointer="/catalyst_percent",
        )
    return Material(
        product=product,
        catalyst=partner,
        kept=kept,
        stated_ppm=units.ppm(percent) if sheet.mix.kind == "catalysed" else None,
        effects="",
        pots=[],
    )


def _mixed(pots: list[Batch]) -> Material:
    """What the pots are of; the face has whatever any of them has stirred in."""
    first = pots[0]
    for pot in pots:
        _check_pot(pot, first)
    added = [line.lot.product for pot in pots for line in draws_of_batch(pot.id)]
    effects = {effect for product in added for effect in product.effects.split()}
    return Material(
        product=first.resin_lot.product,
        catalyst=first.catalyst_lot.product if first.catalyst_lot else None,
        kept=cure_sheets.kept(store_sheets.sheet(first.cure_sheet_id)),
        stated_ppm=None,
        effects=" ".join(sorted(effects)),
        pots=pots,
    )


def _check_pot(pot: Batch, first: Batch) -> None:
    if pot.cure_sheet_id != first.cure_sheet_id:
        raise Invalid(
            "The pots have different resins or catalysts.",
            advice="Record a layup for each resin and catalyst.",
            pointer="/batches",
        )
    for seen in pots.observations_of_batch(pot.id):
        if seen.kind in ("lost", "not_mixed"):
            raise Invalid(
                f"Pot {pot.id} was {seen.kind.replace('_', ' ')}.",
                advice="Leave it out.",
                pointer="/batches",
            )


def _check_liquid(mixed: list[Batch], at: int) -> None:
    """Refuse a pot that a hand saw gelled before it was laid."""
    seen = pots.observations_of_batches([pot.id for pot in mixed])
    for pot in mixed:
        last = [look for look in seen[pot.id] if look.at <= at][-1:]
        if last and last[0].kind == "gelled":
            raise Invalid(
                f"Pot {pot.id} had gelled at {moments.clock(last[0].at)}, before it was laid.",
                advice="Say when it went on, as 'applied_at', or leave the pot out: lumps do not "
                "bond. If it had not gelled, take that observation back.",
                pointer="/batches",
            )


def _check_times(at: int, done: int, material: Material) -> None:
    if done < at:
        raise Invalid(
            "The layup can't end before it began.",
            advice="Check both times.",
            pointer="/finished_at",
        )
    if material.pots and at < material.pots[0].mixed_at:
        raise Invalid(
            "The layup can't begin before its first pot was mixed.",
            advice="Check applied_at against the time when the pot was mixed.",
            pointer="/applied_at",
        )
    if done < _last_mixed(material.pots):
        raise Invalid(
            "The layup can't end before its last pot was mixed.",
            advice="Check finished_at against the times when the pots were mixed.",
            pointer="/finished_at",
        )


def _last_mixed(pots: list[Batch]) -> int:
    return max((pot.mixed_at for pot in pots), default=0)


def _warnings(row: Layup, material: Material, place: Bay, at: int) -> list[str]:
    sheet = material.kept.sheet
    known = row.surface_mk is not None
    air = None if row.surface_mk is not None else bay_air.taken(place, at)
    surface = air.temperature if air is not None else (row.surface_mk or 0) / 1000
    words = watch.dew_words(place, surface, at)
    if sheet.apply_min is not None and surface < sheet.apply_min:
        kept = heating.with_margin(
            sheet.apply_min, bay_air.uncertainty(place, measured_on_part=known)
        )
        rests = "" if air is None else f" ({air.words(row.recorded_at)})"
        words.append(
            f"Colder than it may be laid up, {worded.heat(sheet.apply_min, 0)}{rests}: warm it "
            f"now to at least {worded.at_least(kept)}, flameless and ducted."
        )
    if sheet.build_min and row.thickness_um and row.thickness_um < sheet.build_min:
        words.append("A film this thin may not cure.")
    return words


def _percent_words(percent: Decimal | None) -> list[str]:
    if percent is None or percent <= PERCENT_NEVER_OVER:
        return []
    return [
        f"{percent:g} % of catalyst is over {PERCENT_NEVER_OVER:g} %: it may never cure. Probe it "
        "before anything goes on it."
    ]


def _cover_below(
    below: Layup,
    row: Layup,
    at: int,
    now: int,
    hand: Hand,
    unsound: UnsoundBelow | None,
) -> list[str]:
    """End the watch on the layer below if it is sound; say what its state meant for the bond."""
    words = _bond_words(below, row, at)
    sound = ending.is_sound(below, unsound, now)
    ending.end(below, at, layups.covered_by(row), sound=sound, now=now, hand=hand)
    ending.settle(below, at, now, hand)
    return words


def _bond_words(below: Layup, row: Layup, at: int) -> list[str]:
    stood = watch.as_it_stood(below, at)
    if stood.touch.scraped_off is not None:
        return [f"Layup {below.id} was scraped off: what lay below it is what this goes on."]
    bond = bonding.bond(stood, row, at)
    words = []
    if bond.steps:
        words.append(f"Layup {below.id} wanted this first: {', then '.join(bond.steps)}.")
    if bond.warning is not None:
        words.append(bond.warning)
    return words
