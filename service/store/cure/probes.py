"""Probes: the bays whose readings tell a layup's own temperature in its post-cure."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from .. import tables
from ..bays import Bay
from ..engine.columns import LARGEST
from ..engine.rows import Reader, insert
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


def end(probe_id: int, *, reason: str, now: int, hand: Hand) -> None:
    """Take a probe back."""
    insert(tables.LayupProbeEnd, layup_probe_id=probe_id, reason=reason, **hand.signed(now))


def of_layups(ids: Iterable[int], as_known_at: int | None = None) -> list[LayupProbe]:
    """The probes of some layups, those that were taken back left out; the first named first."""
    rest = """
        WHERE layup_probe.layup_id IN (?*) AND layup_probe.recorded_at <= ?
        AND NOT EXISTS (SELECT 1 FROM layup_probe_end
            WHERE layup_probe_end.layup_probe_id = layup_probe.id
            AND layup_probe_end.recorded_at <= ?)
        ORDER BY layup_probe.id
    """
    known = LARGEST if as_known_at is None else as_known_at
    return _PROBES.all(rest, list(ids), known, known)
