"""What was mixed and laid up for a job: how warm, of what, and what hands saw of it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from ...store import bays
from ...store.cure import layups, pots
from ...store.cure.layups import Layup
from ...store.cure.pots import Batch, BatchObservation
from ...store.stock.jobs import Job
from ...store.stock.lines import Movement
from ..bays import air as bay_air
from ..cure import bonding, watch
from ..cure.show import show_layup
from ..cure.watch import Watched
from ..pots.card import show_seen
from ..products.product import kind_of
from ..yard import conversions as units


@dataclass(frozen=True)
class Work:
    """A job's pots that were mixed, what was seen of each, its layups, and what those lie on."""

    pots: Sequence[Batch]
    seen: dict[int, list[BatchObservation]]
    laid: Sequence[Watched]
    below: dict[int, Watched]


def of_job(job: Job, now: int) -> Work:
    """Gather a job's work, in as few queries however much there is."""
    mixed = pots.of_job(job.id)
    seen = pots.observations_of_batches([pot.id for pot in mixed])
    mixed = [pot for pot in mixed if "not_mixed" not in {each.kind for each in seen[pot.id]}]
    laid = layups.of_job(job.id)
    elsewhere = {row.over_id for row in laid if row.over_id} - {row.id for row in laid}
    lower = layups.layups(elsewhere)
    watched = watch.watch_all([*laid, *lower], now)
    return Work(mixed, seen, watched[: len(laid)], {each.row.id: each for each in watched})


def show_pots(work: Work, lines: Iterable[Movement]) -> list[dict[str, Any]]:
    """Each pot with what was drawn for it.

    Args:
        lines: of the ledger that stand, with their lots and those lots' products.
    """
    drawn = defaultdict(list)
    for line in lines:
        drawn[line.batch_id].append(line)
    return [_pot(pot, drawn[pot.id], work.seen[pot.id]) for pot in work.pots]


def show_layups(work: Work, now: int) -> list[dict[str, Any]]:
    """Each layup, the first laid first."""
    humid = _humidities([each.row for each in work.laid])
    return [{**_layup(each, work, now), **humid[each.row.id]} for each in work.laid]


def _humidities(rows: Sequence[Layup]) -> dict[int, dict[str, Any]]:
    """Layup's id → the humidity last measured in its bay when it was laid; None if that was long
    before. A bay's readings are read once.
    """
    by_bay: dict[int, list[Layup]] = defaultdict(list)
    for row in rows:
        by_bay[row.bay_id].append(row)
    found: dict[int, dict[str, Any]] = {}
    for laid in by_bay.values():
        gap, moments = laid[0].bay.gap_max_s, [row.applied_at for row in laid]
        read = bays.readings(laid[0].bay_id, min(moments) - gap, max(moments))
        known = [(each.at, each.humidity_ppm) for each in read if each.humidity_ppm is not None]
        for row in laid:
            near = [ppm for at, ppm in known if row.applied_at - gap <= at <= row.applied_at]
            found[row.id] = {"humidity_percent": units.percent(near[-1] if near else None)}
    return found


def _pot(pot: Batch, lines: Iterable[Movement], seen: Iterable[BatchObservation]) -> dict[str, Any]:
    return {
        "id": pot.id,
        "resin": pot.resin_lot.product.code,
        "amount": pot.resin_mg,
        "catalyst": pot.catalyst_lot.product.code if pot.catalyst_lot else None,
        "catalyst_mass": pot.catalyst_mg,
        "catalyst_percent": units.percent(pot.percent_ppm),
        "temperature": units.kelvin(pot.temperature_mk),
        "temperature_basis": pot.temperature_basis,
        "factor": pot.factor_ppm / 1e6,
        "cup_test": pot.cup_test_id,
        "draws": [_draw(line) for line in lines],
        "observations": [show_seen(row) for row in seen],
        "mixed_at": pot.mixed_at,
        "who": pot.who,
        "verified": pot.verified,
    }


def _draw(line: Movement) -> dict[str, Any]:
    product = line.lot.product
    return {
        "lot": line.lot_id,
        "number": line.lot.number,
        "container": line.lot.container,
        "product": product.code,
        "quantity": (-line.amount, kind_of(product)),
    }


def _layup(watched: Watched, work: Work, now: int) -> dict[str, Any]:
    row = watched.row
    air = watch.air_while_curing(watched, now)
    shown = show_layup(watched)
    names = (
        "id", "title", "kind", "product", "catalyst_percent", "bay", "batches", "applied_at",
        "finished_at", "cover", "over", "milestones", "window", "warnings", "observations",
        "post_cure", "over_surface",
        "closed_at", "who",
    )  # fmt: skip
    return {
        **{name: getattr(shown, name) for name in names},
        "surface_temperature": None if row.surface_mk is None else units.kelvin(row.surface_mk),
        "thickness": row.thickness_um,
        "cured": None if air is None else bay_air.temperatures(air),
        "bond": _bond(work.below.get(row.over_id or 0), row),
        "closed_reason": row.closed_reason,
        "verified": row.verified,
    }


def _bond(below: Watched | None, row: Layup) -> dict[str, Any] | None:
    """What it was laid on, as that stood at the time by all that is known now."""
    if below is None:
        return None
    bond = bonding.bond(below, row, row.applied_at)
    return {
        "layup": below.row.id,
        "title": below.row.title,
        "stand": bond.stand,
        "wanted": list(bond.steps),
        "sanded_at": bond.sanded_at,
        "warning": bond.warning,
    }
