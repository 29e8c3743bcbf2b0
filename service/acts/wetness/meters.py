"""Moisture meters: add one, list them, show one; and the scale of one of its modes."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import Any

from ...core.amounts.views import Code, Moment, RowId, View
from ...core.errors import AlreadyExists, Invalid, NotFound, UnknownReference
from ...core.frozen import frozen
from ...core.wetness.readings import Measures, MeterKind, Scale
from ...store import wetness
from ...store.engine.database import writing
from ...store.wetness import Meter
from ...store.yard.hands import Hand
from ..yard import conversions


@frozen
class MeterModeView(View):
    """A mode of a meter, and whether its numbers are points or percent."""

    name: str
    measures: Measures


@frozen
class MeterView(View):
    """A moisture meter and its scale."""

    id: RowId
    code: Code
    title: str
    kind: MeterKind
    scale_from: float
    scale_to: float
    modes: list[MeterModeView]
    who: str
    recorded_at: Moment


def add_meter(
    *,
    code: str,
    title: str,
    kind: MeterKind,
    scale_from: Any,
    scale_to: Any,
    modes: Sequence[Mapping[str, Any]],
    now: int,
    hand: Hand,
) -> MeterView:
    """Add a moisture meter.

    Args:
        scale_from, scale_to: the ends of its scale. modes: each a `name` and what it `measures`.

    Raises:
        AlreadyExists: the code is taken.
        Invalid: a scale without a length, a mode said twice, percent of a meter without pins.
    """
    low, high = conversions.milli(scale_from), conversions.milli(scale_to)
    with writing():
        if wetness.find_meter(code) is not None:
            raise AlreadyExists(
                f"There is a meter {code} already.",
                advice="Choose another code.",
                pointer="/code",
            )
        if high <= low:
            raise Invalid(
                "The scale ends where it begins, or before.",
                advice="Give the lower end as 'scale_from'.",
                pointer="/scale_to",
            )
        _check_modes(kind, modes)
        kept = json.dumps([[mode["name"], mode["measures"]] for mode in modes])
        row = wetness.add_meter(
            code, title=title, kind=kind, low_milli=low, high_milli=high, modes=kept,
            now=now, hand=hand,
        )  # fmt: skip
        return _show(row)


def _check_modes(kind: MeterKind, modes: Sequence[Mapping[str, Any]]) -> None:
    names = [mode["name"].casefold() for mode in modes]
    if len(set(names)) < len(names):
        raise Invalid("A mode is named twice.", advice="Name each mode once.", pointer="/modes")
    if kind != "pins" and any(mode["measures"] == "percent" for mode in modes):
        raise Invalid(
            "Only pins in wood measure percent.",
            advice="What a capacitance meter shows are points: they compare, and are no percent "
            "of water.",
            pointer="/modes",
        )


def list_meters(after: int | None, limit: int) -> list[MeterView]:
    """Meters by age, after the one with that id."""
    return [_show(row) for row in wetness.meters(after, limit)]


def show_meter(code: str) -> MeterView:
    """One meter.

    Raises: NotFound.
    """
    row = wetness.find_meter(code)
    if row is None:
        raise NotFound(f"There is no meter {code}.", advice="List the meters.")
    return _show(row)


def meter_and_mode(code: str, mode: str) -> tuple[Meter, str]:
    """The meter with a code and its mode of that name, as the meter spells it.

    Raises: UnknownReference.
    """
    row = wetness.find_meter(code)
    if row is None:
        raise UnknownReference(
            f"There is no meter {code}.", advice="Add it, or check its code.", pointer="/meter"
        )
    for name, _ in _modes(row):
        if name.casefold() == mode.casefold():
            return row, name
    names = ", ".join(name for name, _ in _modes(row))
    raise UnknownReference(
        f"Meter {row.code} has no mode {mode}.", advice=f"It has: {names}.", pointer="/mode"
    )


def scale_of(row: Meter, mode: str) -> Scale:
    """The scale of a meter in one of its modes."""
    measures = dict(_modes(row))[mode]
    return Scale(row.low_milli / 1000, row.high_milli / 1000, measures)


def _modes(row: Meter) -> list[tuple[str, Measures]]:
    return [(name, measures) for name, measures in json.loads(row.modes)]


def _show(row: Meter) -> MeterView:
    kind: Any = row.kind
    return MeterView(
        id=row.id,
        code=row.code,
        title=row.title,
        kind=kind,
        scale_from=row.low_milli / 1000,
        scale_to=row.high_milli / 1000,
        modes=[MeterModeView(name, measures) for name, measures in _modes(row)],
        who=row.who,
        recorded_at=row.recorded_at,
    )
