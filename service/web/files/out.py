"""Tables for a spreadsheet: plain numbers with the unit in the heading, days as days."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterable, Iterator
from datetime import date, datetime, tzinfo
from decimal import Decimal
from functools import lru_cache
from operator import attrgetter
from typing import Any

from ...core.amounts import quantities
from ...core.amounts.quantities import Kind, System
from ...core.frozen import frozen
from . import cells, headings

MARK = "\ufeff"
"""At the start of the file: without it spreadsheets take the text for an old code page."""
PLACES = 12
"""Decimal places of a number, as many as a quantity may have when it is read."""


@frozen
class Column:
    """A column.

    Attributes:
        name: of the field, as in the interface.
        kind: of a quantity that has the same kind in the whole column.
        days: whether a time is in days instead of its kind's unit.
        clock: the zone of a moment.
        value: finds the value in a row; by default by its name.
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

    def cells(self, system: System) -> Callable[[Any], str]:
        """What makes the text of a row's cell: chosen once, as a table may have a million rows."""
        value = attrgetter(self.name) if self.value is None else self.value
        say = self._says(system)

        def cell(row: Any) -> str:
            found = value(row)
            return "" if found is None else say(found)

        return cell

    def _says(self, system: System) -> Callable[[Any], str]:
        if self.kind is not None:
            kind, unit = self.kind, self._unit(system)
            return lambda found: _quantity(found, kind, unit)
        if self.clock is not None:
            clock = self.clock
            return lambda found: datetime.fromtimestamp(found, clock).isoformat(" ")[:19]
        return _plain

    def _unit(self, system: System) -> str:
        if self.kind is None:
            return ""
        return "d" if self.days else self.kind.unit(system)


def table(
    columns: Iterable[Column], pages: Iterable[Iterable[Any]], system: System
) -> Iterator[str]:
    """The table as text, with commas between its cells: the headings, then a piece for each page.

    Args:
        pages: of rows; one is read when its piece is wanted, so no more than one is in memory.
    """
    columns = list(columns)
    cells = [column.cells(system) for column in columns]
    yield MARK + _lines([[column.heading(system) for column in columns]])
    for rows in pages:
        yield _lines([cell(row) for cell in cells] for row in rows)


def _lines(rows: Iterable[list[str]]) -> str:
    text = io.StringIO(newline="")
    csv.writer(text).writerows(rows)
    return text.getvalue()


def amount(
    pair: tuple[Decimal | float, Kind] | None, system: System
) -> tuple[Decimal | None, str | None]:
    """Number and unit of a quantity whose kind differs from row to row."""
    return (None, None) if pair is None else _amount(*pair, system)


@lru_cache(maxsize=1024, typed=True)  # a whole number is told otherwise than its equal Decimal
def _amount(number: Decimal | float, kind: Kind, system: System) -> tuple[Decimal, str]:
    unit = kind.unit(system)
    return quantities.figure(number, kind, unit, PLACES), unit


@lru_cache(maxsize=1024, typed=True)  # a logger repeats itself
def _quantity(number: Decimal | float, kind: Kind, unit: str) -> str:
    return figure(quantities.figure(number, kind, unit, PLACES))


@lru_cache(maxsize=1024)  # a logger repeats itself
def figure(value: Decimal | float) -> str:
    """A number to twelve digits and twelve places, without exponent and trailing zeros.

    A quantity can't be read with more places.
    """
    exact = Decimal(f"{Decimal(f'{value:.12g}'):.12f}")
    text = f"{exact:f}"
    return (text.rstrip("0").rstrip(".") if "." in text else text) or "0"


def _plain(found: Any) -> str:
    if isinstance(found, str):  # first: most cells are words
        return cells.guarded(found)
    if isinstance(found, bool):
        return "yes" if found else "no"
    if isinstance(found, (Decimal, float)):
        return figure(found)
    if isinstance(found, date):
        return found.isoformat()
    if isinstance(found, list):
        return " ".join(found)
    return str(found) if isinstance(found, int) else cells.guarded(str(found))
