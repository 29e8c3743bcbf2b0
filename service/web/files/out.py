"""A table for a spreadsheet: numbers as numbers with the unit in the heading, days as days."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime, tzinfo
from decimal import Decimal
from functools import lru_cache
from typing import Any

from ...core.amounts import quantities
from ...core.amounts.quantities import Kind, System
from . import cells, headings

MARK = "\ufeff"
"""At the start of the file: spreadsheets take text without it for an old code page."""
PLACES = 12
"""Decimal places of a number: more no quantity is read with."""


@dataclass(frozen=True)
class Column:
    """A column.

    Attributes:
        name: the field, as the interface calls it.
        kind: of a quantity that has one kind in the whole column.
        days: whether a time is given in days instead of its kind's unit.
        clock: the zone of a moment.
        value: finds it in a row; by default by its name.
    """

    name: str
    kind: Kind | None = None
    days: bool = False
    clock: tzinfo | None = None
    value: Callable[[Any], Any] | None = None

    def heading(self, system: System) -> str:
        """The heading, with the unit or the clock."""
        name = self.name.removesuffix("_percent")
        unit = self._unit(system) or ("" if name == self.name else "%")
        if self.clock is not None:
            unit = str(self.clock)
        return f"{headings.spelt(name)} ({unit})" if unit else headings.spelt(name)

    def cell(self, row: Any, system: System) -> str:
        """What stands in a row's cell."""
        found = getattr(row, self.name) if self.value is None else self.value(row)
        if found is None:
            return ""
        if self.kind is not None:
            return figure(quantities.figure(found, self.kind, self._unit(system), PLACES))
        if self.clock is not None:
            local = datetime.fromtimestamp(found, UTC).astimezone(self.clock)
            return local.replace(tzinfo=None).isoformat(" ")
        return _plain(found)

    def _unit(self, system: System) -> str:
        if self.kind is None:
            return ""
        return "d" if self.days else self.kind.unit(system)


def table(columns: Iterable[Column], rows: Iterable[Any], system: System) -> str:
    """The table as text, commas between its cells."""
    columns = list(columns)
    text = io.StringIO(newline="")
    text.write(MARK)
    writer = csv.writer(text)
    writer.writerow([column.heading(system) for column in columns])
    writer.writerows([column.cell(row, system) for column in columns] for row in rows)
    return text.getvalue()


def amount(
    pair: tuple[Decimal | float, Kind] | None, system: System
) -> tuple[Decimal | None, str | None]:
    """The number and the unit of a quantity whose kind differs from row to row."""
    if pair is None:
        return None, None
    unit = pair[1].unit(system)
    return quantities.figure(pair[0], pair[1], unit, PLACES), unit


@lru_cache(maxsize=8192)  # a logger repeats itself
def figure(value: Decimal | float) -> str:
    """A number to twelve figures, and as many places, without an exponent or zeros at its end.

    More places no quantity is read with.
    """
    exact = Decimal(f"{Decimal(f'{value:.12g}'):.12f}")
    text = f"{exact:f}"
    return (text.rstrip("0").rstrip(".") if "." in text else text) or "0"


def _plain(found: Any) -> str:
    if isinstance(found, bool):
        return "yes" if found else "no"
    if isinstance(found, Decimal | float):
        return figure(found)
    if isinstance(found, date):
        return found.isoformat()
    if isinstance(found, list):
        return " ".join(found)
    return str(found) if isinstance(found, int) else cells.guarded(str(found))
