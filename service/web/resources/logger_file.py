"""A temperature logger's table, read as the JSON that it stands for; nothing is guessed."""

from __future__ import annotations

import csv
import io
import re
from datetime import UTC, datetime
from typing import Any
from zoneinfo import ZoneInfo

from ...core.errors import Invalid
from ..refusals import Unreadable

_HEADING = re.compile(r"\s*(at|temperature|humidity_percent)\s*(?:\(([^)]*)\))?\s*")
_NUMBER = re.compile(r"\d{1,3}(?:\.\d{1,9})?", re.ASCII)
_LOCAL = re.compile(r"(\d{4}-\d\d-\d\d)[T ](\d\d:\d\d(?::\d\d)?)", re.ASCII)


def rows(text: str, zone: ZoneInfo) -> list[dict[str, Any]]:
    """The readings of a table whose first line names its columns.

    Args:
        text: such as `at,temperature (degC),humidity_percent`, then a reading a line. A unit
            in a heading goes for its column; a moment without an offset is on the yard's clock.
        zone: the yard's.

    Raises:
        Unreadable: the text is no table.
        Invalid: columns that are not named so, a line with more cells than columns, or a
            local time that the night of a clock change has twice or not at all.
    """
    table = csv.reader(io.StringIO(text, newline=""), skipinitialspace=True)
    try:
        columns = _columns(next(table, []))
        return [
            _reading(_cells(line, columns, number), columns, number, zone)
            for number, line in enumerate(table, start=2)
            if any(cell.strip() for cell in line)
        ]
    except csv.Error as error:
        raise Unreadable(
            f"Line {table.line_num} is no line of a table: {error}.",
            advice="Export it again as plain comma-separated text.",
        ) from error


def _cells(line: list[str], columns: dict[str, str], number: int) -> dict[str, str]:
    """A line's cells by their columns; a decimal comma would make one cell too many."""
    if len(line) > len(columns):
        raise Invalid(
            f"Line {number} has {len(line)} cells for {len(columns)} columns.",
            advice="Write 18.5 with a point: a comma begins the next cell.",
        )
    return dict(zip(columns, line, strict=False))


def _columns(headings: list[str]) -> dict[str, str]:
    """Column name → unit in its heading, in the table's order."""
    found = [_HEADING.fullmatch(heading) for heading in headings]
    columns = {match[1]: (match[2] or "").strip() for match in found if match}
    if len(columns) < len(headings) or not {"at", "temperature"} <= columns.keys():
        raise Invalid(
            "The file's first line does not name its columns.",
            advice="Begin it with: at,temperature (degC),humidity_percent; the last one may be "
            "left out.",
        )
    return columns


def _reading(
    cells: dict[str, str], columns: dict[str, str], number: int, zone: ZoneInfo
) -> dict[str, Any]:
    told: dict[str, Any] = {name: cell.strip() for name, cell in cells.items() if cell.strip()}
    if "at" in told:
        told["at"] = _moment(told["at"], number, zone)
    if columns["temperature"] and "temperature" in told:
        told["temperature"] = f"{told['temperature']} {columns['temperature']}"
    if _NUMBER.fullmatch(told.get("humidity_percent", "")):  # else the field refuses it
        told["humidity_percent"] = float(told["humidity_percent"])
    return told


def _moment(text: str, number: int, zone: ZoneInfo) -> str:
    """A moment with its offset; one without is on the yard's clock."""
    match = _LOCAL.fullmatch(text)
    if match is None:
        return text
    try:
        local = datetime.fromisoformat(f"{match[1]}T{match[2]}").replace(tzinfo=zone)
    except ValueError:
        return text
    again = local.replace(fold=1)
    if local.utcoffset() != again.utcoffset():
        missing = local.astimezone(UTC).astimezone(zone).replace(tzinfo=None) != local.replace(
            tzinfo=None
        )
        word = "never came" if missing else "came twice"
        raise Invalid(
            f"Line {number}: {text} {word} on the night that the clocks changed.",
            advice="Write the moment with its offset, such as +02:00.",
        )
    return local.isoformat()
