"""Probes: the bays whose readings tell a layup's own temperature in its post-cure."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from .. import tables
from ..bays import Bay
from ..engine.columns import LARGEST
from ..engine.rows import Reader, insert
from ..yard import withdrawals
from ..yard.hands import Hand


class LayupProbe(NamedTuple):
    """A bay whose readings tell a layup's own temperature; `on_part` if it is fixed to it."""

    id: int
    layup_id: int
    bay_id: int
    on_part: bool
    recorded_at: int
    who: str
    verified: bool
    bay: Bay


_PROBES = Reader(LayupProbe, tables.LayupProbe)

find_probe = _PROBES.by_id


def add(layup_id: int, bay_id: int, *, on_part: bool, now: int, hand: Hand) -> None:
    """Name a bay as a probe of a layup."""
    insert(tables.LayupProbe, layup_id=layup_id, bay_id=bay_id, on_part=on_part, **hand.signed(now))


def of_layups(ids: Iterable[int], as_known_at: int | None = None) -> list[LayupProbe]:
    """The probes of some layups, those that were taken back left out; the first named first."""
    rest = f"""
        WHERE layup_probe.layup_id IN (?*) AND layup_probe.recorded_at <= ?
        AND {withdrawals.standing("layup_probe", as_known_at)} ORDER BY layup_probe.id
    """
    return _PROBES.all(rest, list(ids), LARGEST if as_known_at is None else as_known_at)
