"""Gather what is known of a layup into a layer of pots and the temperatures around it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import takewhile

from ...core.bays.temperature import Trace
from ...core.cure import handing_over, recoat
from ...core.cure.found import SET
from ...core.cure.layer import Cover, LaidPot, Layer, surface_of
from ...core.cure.soonest import AGAIN_AFTER_S, Heard
from ...core.cure.touch import Touch, Word
from ...core.frozen import frozen
from ...core.products.cure_sheet import CureSheet
from ...core.products.gel_law import GelLaw
from ...core.stock.cup_test import TAKEN_UP_WITHIN_S
from ...store.cure import layups
from ...store.cure.layup_records import LayupRecord
from ...store.cure.layups import LayupObservation
from ...store.cure.pots import Batch, BatchObservation
from ...store.products import Product
from ..bays import air
from ..bays.air import Air
from ..products import cure_sheets
from ..products.cure_sheets import strength_of
from ..products.pair_law import law_of_pair
from . import under_bag


@frozen
class Gathered:
    """A layup as something that cures.

    Attributes:
        trace: the temperatures around it, from its start or before. touch: what hands found.
        flags: words on what the layer rests on. probed: what each of its probes told over the
            same time.
        left_out: the ids of the looks that are not believed. asked: whether the last look is one.
        doubted_glove: the layer with all looks, where one that is left out found it open: who
            finds it open early may be right, and then it shuts early.
    """

    record: LayupRecord
    layer: Layer
    trace: Trace
    touch: Touch
    flags: tuple[str, ...]
    probed: tuple[Trace, ...] = ()
    asked: bool = False
    doubted_glove: Layer | None = None
    left_out: tuple[int, ...] = ()


def gather(record: LayupRecord, around: Air) -> Gathered:
    """Gather a layup.

    Args:
        around: the air of the bays, from the start of the layup to the last moment of interest.
    """
    sheet = cure_sheets.kept(record.cure_sheet).sheet
    touch = _touch(record, sheet)
    flags = tuple(
        f"Cup test {number} of its lot, made after mixing, counts as well."
        for number in _tested_later(record)
    )
    trace, probed = trace_of(record, around), [around.of(probe.bay) for probe in record.probes]
    return Gathered(record, _layer(record, sheet, touch), trace, touch, flags, tuple(probed))


def words_on(laid: Gathered) -> list[Word]:
    """What hands said of a layup, in the order of its looks.

    A hardness that says nothing, too soft or on another scale, is called by another name.
    """
    sheet = laid.layer.sheet
    return [
        Word(each.kind if each.kind != "hardness" or _tells(laid, each, sheet) else "", each.at)
        for each in laid.record.seen
    ]


def _tells(laid: Gathered, seen: LayupObservation, sheet: CureSheet) -> bool:
    return layups.touch([seen], _hard_from(laid.record, sheet), sheet.hardness_scale).is_set


def without(laid: Gathered, heard: Heard) -> Gathered:
    """The same layup as if a hand had never said what is not believed; its record stays whole."""
    sheet = laid.layer.sheet
    kept = [each for place, each in enumerate(laid.record.seen) if place not in heard.left_out]
    believed = replace(laid.record, seen=tuple(kept))
    touch = _touch(believed, sheet)
    layer = _layer(believed, sheet, touch)
    said_again = layer.said_again or heard.confirmed
    layer = replace(layer, said_again=said_again)
    gloves = [laid.record.seen[place].kind == "no_transfer" for place in heard.left_out]
    early = laid.layer if any(gloves) else None
    left_out = tuple(laid.record.seen[place].id for place in sorted(heard.left_out))
    return replace(
        laid, layer=layer, touch=touch, asked=heard.asked, doubted_glove=early, left_out=left_out
    )


def _layer(record: LayupRecord, sheet: CureSheet, touch: Touch) -> Layer:
    row, later = record.row, _tested_later(record)
    started = record.started
    law = law_of_pair(sheet, row.catalyst, record.tested, record.films, started, later)
    surface = surface_of(sheet.surface, row.effects.split())
    pots = tuple(_pot(pot, record, sheet, law, touch) for pot in record.pots)
    layer = Layer(
        sheet=sheet,
        law=law,
        pots=pots or (_unmixed(record, sheet, law, touch),),
        finished=row.finished_at,
        surface=surface,
        cover=_cover(record),
        hard_at=touch.sandable,
        green_at=touch.green,
        said_again=said_again(record),
        shut_at=touch.shut(surface),
    )
    return layer if recoat.never(layer) else replace(layer, opened_at=touch.no_transfer)


def _tested_later(record: LayupRecord) -> list[int]:
    """The cup tests of its lots that were made soon enough after their mixing to count."""
    until = {pot.resin_lot_id: pot.mixed_at + TAKEN_UP_WITHIN_S for pot in record.pots}
    return [
        test.id
        for test in record.tested
        if record.started < test.at <= until.get(test.lot_id, record.started)
    ]


def said_again(record: LayupRecord) -> bool:
    """Whether a hand said twice how far it is, as its last word on it, and not within a minute."""
    told = [seen for seen in record.seen if seen.kind in (*SET, "not_gelled")]
    if not told or told[-1].kind == "not_gelled":
        return False
    last = list(takewhile(lambda seen: seen.kind == told[-1].kind, reversed(told)))
    return last[0].at - last[-1].at >= AGAIN_AFTER_S


def _pot(pot: Batch, record: LayupRecord, sheet: CureSheet, law: GelLaw, touch: Touch) -> LaidPot:
    """A pot in its layup."""
    lot = pot.catalyst_lot
    looks = record.cups.get(pot.id, ())
    return LaidPot(
        percent=_effective(pot.percent_ppm, lot.product if lot else record.row.catalyst, sheet),
        belief=law.belief(pot.resin_lot_id, filled=pot.filled),
        mixed_at=pot.mixed_at,
        lot=pot.resin_lot_id,
        filled=pot.filled,
        gelled_at=_gelled_at(record.seen, pot.mixed_at),
        wet_at=_wet_at(record.seen, touch),
        cup_gelled_at=_gelled_at(looks, pot.mixed_at),
        cup_wet_at=max(_wet_looks(looks), default=None),
        wet_before=_before_last(_wet_looks(record.seen)),
        cup_wet_before=_before_last(_wet_looks(looks)),
    )


def _unmixed(record: LayupRecord, sheet: CureSheet, law: GelLaw, touch: Touch) -> LaidPot:
    """A layup without pots of the yard, as one pot mixed when it was laid."""
    row, started = record.row, record.started
    percent = _effective(row.stated_percent_ppm, row.catalyst, sheet)
    gelled_at, wet_at = _gelled_at(record.seen, started), _wet_at(record.seen, touch)
    before = _before_last(_wet_looks(record.seen))
    return LaidPot(
        percent, law.belief(), started, gelled_at=gelled_at, wet_at=wet_at, wet_before=before
    )


def _wet_looks(looks: Sequence[LayupObservation | BatchObservation]) -> list[float]:
    """When hands found it wet, in the order of time; epoch s."""
    return sorted(float(look.at) for look in looks if look.kind == "not_gelled")


def _before_last(moments: Sequence[float]) -> float | None:
    """Of moments in their order, the latest a minute or more before the last."""
    return max((at for at in moments if moments[-1] - at >= AGAIN_AFTER_S), default=None)


def _gelled_at(looks: Sequence[LayupObservation | BatchObservation], mixed_at: int) -> float | None:
    """When a hand first saw it gelled after its mixing, and did not find it wet since; epoch s.

    A look in the second of the mixing counts from the next second.
    """
    wet = max((place for place, o in enumerate(looks) if o.kind == "not_gelled"), default=-1)
    gelled = (o.at for o in looks[wet + 1 :] if o.kind == "gelled")
    found = min((at for at in gelled if at >= mixed_at), default=None)
    return None if found is None else max(float(found), mixed_at + 1.0)


def _wet_at(looks: Sequence[LayupObservation], touch: Touch) -> float | None:
    """When a hand last found it wet: since it was called set, or else before that; epoch s."""
    if touch.not_gelled is not None:
        return touch.not_gelled
    before = (o.at for o in looks if o.kind == "not_gelled" and o.at <= (touch.gelled or 0.0))
    return max(map(float, before), default=None)


def _effective(percent_ppm: int | None, catalyst: Product | None, sheet: CureSheet) -> float | None:
    """A percent of catalyst as a percent of the peroxide that the sheet was written for."""
    if percent_ppm is None or sheet.mix.kind != "catalysed":
        return None
    return percent_ppm / 1e4 * strength_of(sheet, catalyst)


def _cover(record: LayupRecord) -> Cover:
    """A bag keeps the air out as film does."""
    cover: Cover = record.row.cover or "none"
    return "film" if cover == "none" and under_bag.bag_on(record) is not None else cover


def trace_of(record: LayupRecord, around: Air, until: float | None = None) -> Trace:
    """The air of its bays; at first its own temperature, where that was taken.

    Args:
        until: how far, epoch s, where its own temperature was taken; else `air.AHEAD_S`.
    """
    row, start = record.row, record.started
    trace = around.around([(start, row.bay), *record.moves])
    if row.surface_mk is None:
        return trace
    ahead = start + air.AHEAD_S if until is None else until
    own = trace.between(start, min(ahead, trace.end))
    settling = float(row.bay.gap_max_s)
    return own.from_surface(row.surface_mk / 1000, settling, since=row.applied_at)


def _touch(record: LayupRecord, sheet: CureSheet) -> Touch:
    """What hands found; the end of a layup counts as `ended` while it is still watched."""
    finished, ended = record.closed_at, record.ended_at
    return replace(
        layups.touch(record.seen, _hard_from(record, sheet), sheet.hardness_scale),
        finished=finished,
        ended=ended if finished is None else None,
    )


def _hard_from(record: LayupRecord, sheet: CureSheet) -> float:
    """The least hardness that counts."""
    return handing_over.hard_from(sheet.hardness_min, record.row.product.chemistry)
