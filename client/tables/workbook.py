"""Reads a table from a workbook (Office Open XML, .xlsx), and writes one."""

from __future__ import annotations

import csv
import io
import re
import warnings
import zipfile
from collections.abc import Iterable, Iterator
from datetime import date, datetime, time
from itertools import chain, islice
from typing import IO, Any

from openpyxl import Workbook, load_workbook
from openpyxl.cell import WriteOnlyCell
from openpyxl.styles import Font
from openpyxl.utils import get_column_letter

from ..exits import Stopped
from .progress import counted, tallied

MOST_UNZIPPED = 512 * 1024 * 1024
MOST_SWOLLEN = 200
"""The contents may be this many times as large as the file; numbers are 10 to 30 times as large."""
MOST_ROWS, MOST_COLUMNS = 200_030, 200
LOOKED_AT = 200
"""Rows by which the columns get their widths."""
ROWS_OF_A_SHEET = 1_048_576
"""ECMA-376, part 1, 18.3.1.73 leaves it open; the programs that read such files have no more."""

WORDS = frozenset(
    {
        "code", "name", "number", "container", "product", "job", "bay", "supplier", "reason",
        "hold reason", "typed", "who", "currency", "role", "chemistry", "peroxide type",
    }
)  # fmt: skip
"""Headings whose cells stay text even if they look like numbers: 0012 is not 12."""

_GUARDED = ("=", "+", "-", "@", "\t", "\r", "＝", "＋", "－", "＠", "'")
"""A text that begins so has a mark before it in CSV, so that no program takes it for a formula."""

_NUMBER = re.compile(r"-?(?:0|[1-9]\d{0,14})(?:\.\d{1,12})?", re.ASCII)
_DAY = re.compile(r"\d{4}-\d\d-\d\d", re.ASCII)
_MOMENT = re.compile(r"\d{4}-\d\d-\d\d \d\d:\d\d:\d\d", re.ASCII)
_ADVICE = "Save it again as .xlsx, or as CSV in UTF-8."


def table(raw: bytes, file: str, sheet: str | None, kind: str) -> tuple[bytes, list[str]]:
    """A sheet of a workbook as CSV text, and notes on how it was read.

    Raises:
        Stopped: the workbook is damaged, has macros or a password, unpacks to far more than its
            own size, has several sheets of which none is named, or has too many rows.
    """
    _check(raw, file)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # about styles and extensions, which change no value
        try:
            book = load_workbook(io.BytesIO(raw), read_only=True, data_only=True)
            chosen, notes = _sheet(book, file, sheet, kind)
            return _text(chosen, file), notes
        except Stopped:
            raise
        except Exception as error:  # in a damaged part the library may raise anything
            raise Stopped(f"{file} is damaged, or no workbook.", _ADVICE) from error


def workbook(lines: Iterable[str], title: str, out: IO[bytes]) -> None:
    """Write CSV text as a workbook: days as days, numbers as numbers, words never as formulas.

    Row by row: the library keeps the rows on the disk until the end.

    Args:
        lines: of the text, each with its end. out: where the workbook goes.

    Raises:
        Stopped: there are more rows than a sheet has.
    """
    table = csv.reader(lines)
    first = list(islice(table, LOOKED_AT))
    heads = first[0] if first else []
    book = Workbook(write_only=True)
    sheet = book.create_sheet(title[:31])
    sheet.freeze_panes = "A2"
    for index, width in enumerate(_widths(first), start=1):
        sheet.column_dimensions[get_column_letter(index)].width = width
    try:
        sheet.append([_cell(sheet, head, bold=True) for head in heads])
        _append(sheet, heads, chain(first[1:], table))
    finally:
        sheet.close()
    book.save(out)


def _append(sheet: Any, heads: list[str], rows: Iterable[list[str]]) -> None:
    for number, row in enumerate(tallied(rows, "Writing"), start=2):
        if number > ROWS_OF_A_SHEET:
            raise Stopped(
                f"There are more than the {ROWS_OF_A_SHEET} rows that a sheet has.",
                "Export it as .csv.",
            )
        sheet.append([_cell(sheet, _value(t, h)) for t, h in zip(row, heads, strict=True)])


def _check(raw: bytes, file: str) -> None:
    """Refuse a dangerous workbook before any part is unpacked."""
    try:
        parts = zipfile.ZipFile(io.BytesIO(raw)).infolist()
    except zipfile.BadZipFile as error:
        raise Stopped(f"{file} is damaged, or no workbook.", _ADVICE) from error
    if any(part.flag_bits & 1 for part in parts):
        raise Stopped(f"{file} has a password.", "Save it without one.")
    if any(part.filename.lower().endswith("vbaproject.bin") for part in parts):
        raise Stopped(f"{file} has macros.", "Save it as .xlsx, which has none.")
    size = sum(part.file_size for part in parts)
    if size > MOST_UNZIPPED or size > MOST_SWOLLEN * max(len(raw), 10_000):
        raise Stopped(f"{file} unpacks to {size // 1024**2} MiB, which is too much.", _ADVICE)


def _sheet(book: Any, file: str, wanted: str | None, kind: str) -> tuple[Any, list[str]]:
    names = [sheet.title for sheet in book.worksheets]
    if wanted is not None:
        if wanted not in names:
            raise Stopped(f"{file} has no sheet {wanted!r}.", f"It has: {', '.join(names)}.")
        return book[wanted], []
    for name in names:
        if name.casefold() == kind:
            return book[name], []
    if len(names) != 1:
        raise Stopped(
            f"{file} has {len(names)} sheets: {', '.join(names)}.", "Name one with --sheet."
        )
    return book[names[0]], []


def _text(sheet: Any, file: str) -> bytes:
    if (sheet.max_column or 0) > MOST_COLUMNS:
        sheet.reset_dimensions()  # some programs claim the widest possible sheet
    text = io.StringIO(newline="")
    writer = csv.writer(text)
    written = 0
    for number, cells in _filled(sheet):
        if number > MOST_ROWS:
            raise Stopped(f"{file} has more than {MOST_ROWS} rows.", "Split it.")
        writer.writerows([] for _ in range(written + 1, number))
        writer.writerow(cells)
        written = number
    return text.getvalue().encode()


def _filled(sheet: Any) -> Iterator[tuple[int, list[str]]]:
    """The rows with anything in them, by number: a format alone may reach to the last of a million.

    The library gives one and the same row for each that the file leaves out, which costs nothing.
    """
    rows = sheet.iter_rows(max_col=MOST_COLUMNS, max_row=ROWS_OF_A_SHEET)
    left_out = None
    for number, row in enumerate(counted(rows, sheet.max_row or 0, "Reading"), start=1):
        if row is left_out:
            continue
        cells = list(_trimmed(_shown(cell) for cell in row))
        if cells:
            yield number, cells
        else:
            left_out = row


def _trimmed(cells: Iterable[str]) -> Iterator[str]:
    """Cells without the empty ones at the end."""
    found = list(cells)
    while found and not found[-1]:
        found.pop()
    yield from found


def _shown(cell: Any) -> str:
    """A cell's value as text for CSV."""
    value = cell.value
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:.12g}" if "e" not in f"{value:.12g}" else f"{value:f}"
    if isinstance(value, datetime):
        only_day = value.time() == time() and "h" not in (cell.number_format or "").casefold()
        return value.date().isoformat() if only_day else value.replace(microsecond=0).isoformat(" ")
    if isinstance(value, (date, time)):
        return value.isoformat()
    return f"'{value}" if str(value).startswith("'") else str(value)


def _value(text: str, head: str) -> Any:
    """The value of a text in CSV: a number, a day, a moment or words."""
    if not text or head.partition(" (")[0] in WORDS:
        return _words(text)
    if _NUMBER.fullmatch(text):
        return float(text) if "." in text else int(text)
    if _DAY.fullmatch(text):
        return date.fromisoformat(text)
    if _MOMENT.fullmatch(text):
        return datetime.fromisoformat(text)
    return _words(text)


def _words(text: str) -> str | None:
    """Words, without the mark that keeps them from being a formula in CSV."""
    guarded = text[:1] == "'" and text[1:].startswith(_GUARDED)
    return (text[1:] if guarded else text) or None


def _cell(sheet: Any, value: Any, bold: bool = False) -> Any:
    """A value as the library takes it; as a cell only if it is bold or must not be a formula."""
    guarded = isinstance(value, str) and value.startswith((*_GUARDED, "#"))
    if not (bold or guarded):
        return value
    cell = WriteOnlyCell(sheet, value)
    if guarded:
        cell.data_type = "s"  # no formula and no error, also after somebody edits it
        cell.quotePrefix = True
    if bold:
        cell.font = Font(bold=True)
    return cell


def _widths(rows: list[list[str]]) -> list[int]:
    """Column widths in characters, taken from the first rows."""
    columns = zip(*rows, strict=True)
    return [min(40, max(map(len, column)) + 2) for column in columns]
