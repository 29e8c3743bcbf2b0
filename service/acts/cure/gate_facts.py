"""The facts that quality gates judge: the shop's air, the last layer, the lots reserved."""

from __future__ import annotations

from collections.abc import Iterable

from ...core.bays.dew_point import dew_point
from ...core.bays.temperature import DAY_S
from ...core.cure import handing_over
from ...core.gates import air as gates_air
from ...core.gates.air import Air
from ...core.gates.fresh import Came
from ...core.gates.part import Below
from ...core.gates.stock import Placed
from ...core.products import hardness
from ...core.products.hardness import Figure
from ...core.products.hazards import FEARED_BY_PEROXIDE
from ...core.wetness.readings import Note, NoteKind
from ...core.words import Text, say
from ...store import bays
from ...store.bays import Bay
from ...store.cure import layups
from ...store.cure.layup_records import records
from ...store.cure.layups import Layup, LayupObservation
from ...store.lookup import key_of
from ...store.stock import lots as shelf
from ...store.stock import needs
from ...store.stock.jobs import Job
from ...store.stock.lots import Lot
from ...store.stock.needs import Need
from ...store.wetness import SurfaceNote
from ..bays import air as bay_air
from ..products.nature import natures_of
from ..stock import reserve
from ..stock.lot_name import name_of
from ..wetness import surface
from ..yard import finding, moments
from . import watch, wax
from .proof import Asked, counted, figure_of, is_gel_coat_layup
from .watch import Watched

LOOKED_BACK_S = 7 * DAY_S
"""How far back a bay's log is read for dew: no recoat window is open for longer."""
SPOILT_BY: dict[NoteKind, str] = {
    "rain": "rain",
    "touched": "a hand's touch",
    "oil": "oil",
    "dust": "dust",
    "washed": "wash water",
    "opened": "dust of an opening",
    "hauled_out": "sea water",
}
"""What spoils a prepared surface, in words: `readings.SPOILS`."""


def shop_of(job: Job, bay: str | None, pointer: str, now: int) -> Bay | None:
    """The bay of a job: the named one, else where its last layup is, else the yard's only one.

    Raises: UnknownReference: no such bay.
    """
    if bay is not None:
        return finding.bay(bay, pointer)
    last = last_layup(job, now)
    if last is not None:
        return records([last])[0].bay
    return bays.only_bay()


def last_layup(job: Job, now: int) -> Layup | None:
    """The last layup of a job by a moment, or None."""
    return layups.last_of_job(job.id, now)


def air(bay: Bay | None, now: int) -> Air:
    """The air of a bay over the last day, as it was measured."""
    if bay is None:
        return Air()
    humid = bays.humidity_near(bay.id, now, bay.gap_max_s)
    percent = None if humid is None else (humid.humidity_ppm or 0) / 1e4
    trace = bay_air.trace(bay, now - DAY_S, now)
    return gates_air.measured(trace, float(bay.gap_max_s), percent)


def below(job: Job, now: int, floor: float) -> Below | None:
    """The last layup of a job, as the next step finds it; None without one.

    Args:
        floor: the temperature from which time counts as cure, K.
    """
    row = last_layup(job, now)
    if row is None:
        return None
    watched = watch.watch(row, now)
    seen = {each.kind: each for each in watched.believed if each.at <= now}
    warm, assumed = _warm(watched, now, floor)
    stand, asked = watched.recoat_stand(now), Asked()
    least, scale = asked.least(row, watched.layer.sheet)
    read = counted(row, watched.layer.sheet, watched.believed, asked) or seen.get("hardness")
    return Below(
        title=row.title,
        gel_coat=is_gel_coat_layup(row),
        structural=job.structural != "no",
        waxed=wax.is_waxed(watched),
        on_wax=_on_wax(row),
        sanded_at=seen["sanded"].at if "sanded" in seen else None,
        green=watched.unsound is None and stand == "open",
        past=stand == "past",
        laid_at=row.finished_at,
        warm=warm,
        warm_assumed=assumed,
        hardness=hardness_of(watched, read),
        hardness_least=least,
        hull_least=handing_over.needed(None, row.product.chemistry),
        scale=scale,
        hardness_at=0.0 if read is None else float(read.at),
        post_cure=watched.post_cure,
        wiped=watched.touch.wiped is not None,
    )


def faces(
    noted: list[SurfaceNote], known: Iterable[str], below: Below | None
) -> dict[str, list[Note]]:
    """The notes of each place, and of the whole boat with them, by the place's name.

    A place of which nothing was said since the last layup lies under it; it counts only if water
    beaded there at its last wash. What was noted without a place is of the rest of the boat, which
    has no name.

    Args:
        noted: by a moment, oldest first. known: places that were found or measured.
    """
    since = 0 if below is None else below.laid_at
    whole = [surface.as_note(each) for each in noted if each.place is None]
    found: dict[str, list[Note]] = {}
    names = {key_of(name): name for name in known}
    names |= {each.place_key: each.place for each in noted if each.place_key and each.place}
    for name in names.values():
        own = surface.notes_of(noted, name)
        if below is None or any(each.at >= since for each in own) or _beads(own):
            found[name] = own
    if not found or _beads(whole) or _rest_counts(noted, since, below):
        found[""] = whole
    return found


def _rest_counts(noted: list[SurfaceNote], since: int, below: Below | None) -> bool:
    """Whether what was noted of the whole boat since the last layup is also of a face beside the
    named places.

    A boat that was hauled out or rained on stands for each place anyway. The rest of her is to be
    bonded where she was prepared as a whole, where a layer lies open, or where nobody prepared a
    place.
    """
    late = [each for each in noted if each.at >= since]
    whole = {each.kind for each in late if each.place is None}
    if not whole:
        return False
    if "prepared" in whole or (below is not None and below.green):
        return True
    return not any(each.kind == "prepared" for each in late)


def damp(shop: Bay | None, since: int, now: int) -> list[tuple[int, float]]:
    """The log of a bay since a moment: (epoch s, K over the dew point)."""
    if shop is None or since >= now:
        return []
    return [
        (read.at, air - dew_point(air, read.humidity_ppm / 10_000))
        for read in bays.readings(shop.id, max(since, now - LOOKED_BACK_S), now)
        if read.humidity_ppm and (air := read.temperature_mk / 1000)
    ]


def came(noted: list[Note], damp: list[tuple[int, float]]) -> Came:
    """What came on a face.

    Args:
        noted: of it, oldest first. damp: the bay's log.
    """
    spoilt = [(SPOILT_BY[n.kind], n.at) for n in noted if n.spoils]
    tested = max((each.at for each in noted if each.tests), default=None)
    return Came(spoilt, damp, _beads(noted), tested)


def _beads(noted: list[Note]) -> bool:
    washes = [each.water for each in noted if each.tests]
    return washes[-1:] == ["beads"]


def soundness(job: Job, now: int) -> tuple[list[Text], list[str]]:
    """A job's layups in trouble, with what to do; and those that gelled by the clock alone."""
    trouble: list[Text] = []
    unfelt: list[str] = []
    rows = [row for row in layups.open_layups_of(job.id) if row.applied_at <= now]
    for watched in watch.watch_all(rows, now):
        if watched.in_trouble:
            trouble.append(
                say("{} (layup {}): {}", watched.row.title, watched.row.id, watched.step.text)
            )
        elif watched.unsound is None and not watched.touch.is_set:
            unfelt.append(f"{watched.row.title} (layup {watched.row.id})")
    return trouble, unfelt


def _on_wax(row: Layup) -> str:
    """The layup below it if that was covered with its wax on; else empty."""
    under, at = layups.below(row), row.applied_at
    if under is None or not wax.is_left_on(watch.as_it_stood(under, at), at):
        return ""
    return f"layup {under.id}, {under.title}"


def _warm(watched: Watched, now: int, floor: float) -> tuple[float, float]:
    row = watched.row
    if now <= row.finished_at:
        return 0.0, 0.0
    stays = [(row.finished_at, row.bay), *watched.record.moves]
    return gates_air.warm_seconds(bay_air.Air(row.finished_at, now).around(stays), floor)


def hardness_of(watched: Watched, seen: LayupObservation | None) -> Figure | None:
    """The figure of a hardness of a layup: of its readings, else its value."""
    if seen is None:
        return None
    return figure_of(watched.row, seen, hardness.unsaid(_met(watched, seen)))


THICK_UM = 1500
"""A layer over this is thick enough for a reading, whatever lies below it (ASTM D2583, 7.2)."""


def _met(watched: Watched, seen: LayupObservation) -> set[str]:
    """The conditions that a hand says were met, and those that the layup meets by itself."""
    met = set((seen.met or "").split())
    if (watched.row.thickness_um or 0) > THICK_UM:
        met.add("thick_enough")
    if wax.is_waxed(watched) is False:
        met.add("wax_off")
    return met


def reserved(job: Job, role: str, now: int) -> list[Lot]:
    """The lots of products of a role that are reserved for a job."""
    today = moments.day_of(now)
    found: dict[int, Lot] = {}
    for product in {row.product for row in _needs(job, role)}:
        kept = reserve.of_product(product, today)
        found |= {each.lot: kept.rows[each.lot] for each in kept.kept if each.job == job.id}
    return [found[lot] for lot in sorted(found)]


def mats(job: Job) -> list[tuple[str, float | None]]:
    """(code, mg/m²) of each reinforcement that a job needs."""
    products = {row.product for row in _needs(job, "reinforcement")}
    return sorted((product.code, product.areal_weight_mg_m2) for product in products)


def _needs(job: Job, role: str) -> list[Need]:
    return [row for row in needs.of_job(job.id) if row.product.role == role]


def stood(lots: Iterable[Lot], shop: Bay | None, now: int) -> list[Placed]:
    """Where lots are, for how long, and how warm it was there."""
    shop_mean = _mean(shop, now)
    return [_stood(lot, shop, shop_mean, now) for lot in lots]


def _stood(lot: Lot, shop: Bay | None, shop_mean: float | None, now: int) -> Placed:
    name = name_of(lot)
    if lot.bay is None:
        return Placed(name)
    since = max((event.at for event in shelf.events_of(lot.id, "moved")), default=lot.received_at)
    mean = _mean(lot.bay, now)
    return Placed(
        name,
        seconds=max(now - since, 0),
        warmer=None if mean is None or shop_mean is None else mean - shop_mean,
        in_shop=shop is not None and lot.bay_id == shop.id,
        temperature=mean if now - since >= DAY_S else None,
    )


def _mean(bay: Bay | None, now: int) -> float | None:
    """The mean of a bay over the last day, K; None if it was not measured."""
    if bay is None:
        return None
    trace = bay_air.trace(bay, now - DAY_S, now)
    return trace.mean() if gates_air.measured(trace, float(bay.gap_max_s)).covered else None


def company() -> tuple[list[str], list[str]]:
    """Peroxides in one bay with what they must not meet, in words; and lots of both in no bay."""
    lots = [(lot, natures_of(lot.product)) for lot in shelf.hazardous()]
    peroxides = [lot for lot, natures in lots if "peroxide" in natures]
    feared = [lot for lot, natures in lots if natures & FEARED_BY_PEROXIDE]
    together = [
        f"{one.bay.code}: {name_of(one)} with {name_of(other)}"
        for one in peroxides
        for other in feared
        if one.bay is not None and one.bay_id == other.bay_id and one.id != other.id
    ]
    lost = [lot for lot in (*peroxides, *feared) if lot.bay_id is None]
    unplaced = [name_of(lot) for lot in lost] if peroxides and feared else []
    return together, unplaced
