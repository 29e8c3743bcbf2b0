"""A table's text as rows of cells: finds its headings and the mark between its cells."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterator
from itertools import islice

from ...core.errors import Invalid
from ...core.frozen import frozen
from ..problems import Unreadable

DELIMITERS = {",": "commas", ";": "semicolons", "\t": "tabs"}
HEADINGS_WITHIN = 30
"""Rows in which headings may be: loggers put titles above them."""
MOST_ROWS = 200_000
MOST_CELLS = 200
"""Most cells of a row."""

Row = tuple[int, list[str]]
"""A row's number, as a spreadsheet counts, and its cells."""


@frozen
class Grid:
    """A table: the row of headings, and the rows below it.

    Attributes:
        delimiter: the mark between cells.
        head: the row of headings.
        rows: the rows below it that are not empty.
    """

    delimiter: str
    head: Row
    rows: list[Row]

    @property
    def decimal_comma(self) -> bool:
        """Whether a comma can be a decimal mark: it can't, if it stands between cells."""
        return self.delimiter != ","

    def note(self) -> str:
        """How the table was read, for the person."""
        said = f"Cells are separated by {DELIMITERS[self.delimiter]}"
        return f"{said}, and a comma in a number is its decimal mark." * self.decimal_comma


def read(text: str, known: Callable[[str], bool], advice: str) -> Grid:
    """Read a table whose headings are known.

    Args:
        known: tells whether a heading is known.
        advice: for a file without known headings.

    Raises:
        Unreadable: the text is no table.
        Invalid: no row has such headings, or there are too many rows or cells.
    """
    delimiter, at = max(
        ((mark, *_best(text, mark, known)) for mark in DELIMITERS), key=lambda found: found[2]
    )[:2]
    if at is None:
        raise Invalid("No row of the file names its columns.", advice=advice)
    found = list(islice(_rows(text, delimiter, at), MOST_ROWS + 2))
    if len(found) > MOST_ROWS + 1:
        raise Invalid(
            f"The file has more than {MOST_ROWS} rows.", advice="Send it in several files."
        )
    return Grid(delimiter, found[0], [row for row in found[1:] if any(map(str.strip, row[1]))])


def _best(text: str, delimiter: str, known: Callable[[str], bool]) -> tuple[int | None, int]:
    """The row with the most known headings, and how many those are."""
    best: tuple[int | None, int] = None, 0
    for number, cells in islice(_rows(text, delimiter, 1), HEADINGS_WITHIN):
        count = sum(map(known, cells))
        if count > best[1]:
            best = number, count
    return best


def _rows(text: str, delimiter: str, first: int) -> Iterator[Row]:
    table = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, skipinitialspace=True)
    try:
        for number, cells in enumerate(table, start=1):
            if len(cells) > MOST_CELLS:
                raise Invalid(
                    f"Row {number} has more than {MOST_CELLS} cells.",
                    advice="Leave out the columns that are not needed.",
                )
            if number >= first:
                yield number, cells
    except csv.Error as error:
        raise Unreadable(
            f"Line {table.line_num} is not a line of a table: {error}.",
            advice="Export it again as plain comma-separated text.",
        ) from error
