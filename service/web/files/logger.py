"""A temperature logger's table as readings, with notes on how its columns were read."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, tzinfo
from typing import NamedTuple

from ...acts.yard.imports import placed, refuse
from ...core.errors import Invalid, Refusal
from ...core.frozen import frozen
from . import cells, days, grid, logger_head
from .days import Order
from .logger_head import Head


class Line(NamedTuple):
    """One reading: its row in the file, its moment, its temperature and humidity as text."""

    row: int
    at: datetime
    temperature: str
    humidity: str


@frozen
class Log:
    """A logger's readings in the order of the file, and how its file was read.

    Attributes:
        headings: the row that names the columns. dates: what dates begin with, if that matters.
    """

    lines: list[Line]
    notes: list[str]
    headings: int
    dates: Order | None


def read(text: str, clock: tzinfo, order: Order | None = None) -> Log:
    """Read a logger's table.

    Args:
        text: headings, perhaps below some titles, then a reading in each row.
        clock: of moments without an offset, if their heading names no clock.
        order: whether days or months come first, if the dates do not decide it.

    Raises:
        Unreadable: the text is no table.
        Invalid: columns or dates with two meanings; a row that is no reading; no readings.
    """
    table = grid.read(text, logger_head.is_known, logger_head.ADVICE)
    head = logger_head.read(table.head[1])
    order = order or days.order_of(_cell(row[1], head.moment[0]) for row in table.rows)
    reader = _Reader(table, head, head.clock or clock, order)
    lines = list(reader.lines())
    refuse(reader.faults)
    if not lines:
        raise Invalid("The file has no readings.", advice=logger_head.ADVICE)
    notes = [note for note in _notes(table, head, reader, order) if note]
    return Log(lines, notes, table.head[0], order)


class _Reader:
    """Reads the rows; keeps the rows that it left out, and the faults."""

    def __init__(self, table: grid.Grid, head: Head, clock: tzinfo, order: Order | None) -> None:
        self.table, self.head, self.clock, self.order = table, head, clock, order
        self.comma, self.width = table.decimal_comma, len(head.names)
        self.faults: list[Refusal] = []
        self.bare: list[int] = []

    def lines(self) -> Iterator[Line]:
        for number, found in self.table.rows:
            try:
                line = self._line(number, found)
            except Invalid as fault:
                self.faults.append(placed(fault, number))
                continue
            if line is None:
                self.bare.append(number)
            else:
                yield line

    def _line(self, number: int, found: list[str]) -> Line | None:
        head, comma = self.head, self.comma
        if len(found) > self.width:
            _check_width(found, self.width)
        said = [_cell(found, index) for index in head.moment]
        at = days.moment(said[0] if len(said) == 1 else " ".join(said), self.order, self.clock)
        heat = cells.plain(_cell(found, head.temperature), comma)
        if not heat:
            return None
        damp = "" if head.humidity is None else _cell(found, head.humidity)
        damp = damp and cells.plain(damp.removesuffix("%").strip(), comma)
        return Line(number, at, cells.with_unit(heat, head.unit), damp)


def _cell(found: list[str], index: int) -> str:
    return found[index].strip() if index < len(found) else ""


def _check_width(found: list[str], columns: int) -> None:
    """Refuse a row with more cells than columns, as a decimal comma makes."""
    if any(cell.strip() for cell in found[columns:]):
        raise Invalid(
            f"The row has {len(found)} cells for {columns} columns.",
            advice="Write 18.5 with a point: a comma begins the next cell.",
        )


def _notes(table: grid.Grid, head: Head, reader: _Reader, order: Order | None) -> list[str]:
    """How the columns were read, for the person to check."""
    names = " and ".join(repr(head.names[i]) for i in head.moment)
    heat = f"Temperature: {head.names[head.temperature]!r}" + f", in {head.unit}" * bool(head.unit)
    first = {"dmy": "the day", "mdy": "the month"}
    bare = reader.bare
    return [
        f"Headings in row {table.head[0]}." * (table.head[0] > 1),
        table.note(),
        f"Moments: {names}, on the clock of {_name(reader.clock)} if they have no offset.",
        f"Dates begin with {first[order]}." if order else "",
        f"{heat}.",
        f"Not used: {', '.join(head.unused())}." * bool(head.unused()),
        f"Left out, with no temperature: {len(bare)} rows, the first is {bare[0]}." if bare else "",
    ]


def _name(clock: tzinfo) -> str:
    return str(getattr(clock, "key", None) or clock)
