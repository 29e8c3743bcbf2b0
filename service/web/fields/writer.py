"""Answers written plainly: how each name of a schema is found and shown is settled once.

marshmallow's own dump works that out anew for every value, which took three quarters of the
time of a long list.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cached_property, partial
from typing import Any
from zoneinfo import ZoneInfo

import marshmallow as ma

from ...core.amounts.quantities import System
from ..context import request

Show = Callable[[Any, "Reader"], Any]
"""Makes a plain value for JSON of what an act returned, which is never None."""


class Reader:
    """Whoever reads one answer: the units and the zone that it is shown in.

    Both are looked up when the first quantity or moment is shown, since an answer without
    any must not need the store.
    """

    @cached_property
    def units(self) -> System:
        """The system of units that quantities are shown in."""
        return request.units()

    @cached_property
    def zone(self) -> ZoneInfo:
        """The zone that moments are shown in."""
        return request.zone()


class Writer:
    """Writes things by the fields of one schema: mappings by key, other objects by attribute."""

    def __init__(self, schema: ma.Schema) -> None:
        fields: Mapping[str, Any] = schema.dump_fields
        self._steps: list[tuple[str, str, Show]] = [
            (field.attribute or name, field.data_key or name, field.show)
            for name, field in fields.items()
        ]

    def write(self, thing: Any, reader: Reader) -> dict[str, Any]:
        """One thing as a JSON object; a name that it does not have is left out."""
        find = thing.get if isinstance(thing, Mapping) else partial(getattr, thing)
        written: dict[str, Any] = {}
        for key, name, show in self._steps:
            value = find(key, ma.missing)
            if value is None:
                written[name] = None
            elif value is not ma.missing:
                written[name] = show(value, reader)
        return written
