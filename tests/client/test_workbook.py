"""Workbooks: what goes into one comes out of it, and what should not be opened is not."""

from __future__ import annotations

import csv
import io
import time
import zipfile
from collections.abc import Iterator
from datetime import date, datetime
from pathlib import Path
from typing import Any

import pytest
from cureyard_client.exits import Stopped
from cureyard_client.tables import reading, workbook
from cureyard_client.tables.coming import Lines
from hypothesis import given
from hypothesis import strategies as st
from openpyxl import Workbook, load_workbook
from openpyxl.styles import Font

from ..workbooks import as_workbook

TABLE = (
    "number,name,on hand,unit,made on,at (UTC)\r\n"
    "0012,'=1+1,-20.5,kg,2026-03-31,2026-03-31 07:00:00\r\n"
    "1e5,\"x, y\",3,m,,\r\n"
)  # fmt: skip


def saved(folder: Path, *sheets: tuple[str, list[list[Any]]]) -> str:
    """A workbook on disk, its path."""
    book = Workbook()
    assert book.active is not None
    book.remove(book.active)
    for title, rows in sheets:
        sheet = book.create_sheet(title)
        for row in rows:
            sheet.append(row)
    path = folder / "book.xlsx"
    book.save(path)
    return str(path)


def rows(text: bytes) -> list[list[str]]:
    """A table's cells."""
    return list(csv.reader(io.StringIO(text.decode(), newline="")))


def test_cells_are_typed() -> None:
    """Numbers, days and moments as such; a number that is a name as text; no formula."""
    sheet = load_workbook(io.BytesIO(as_workbook(TABLE, "lots"))).active
    assert sheet is not None
    assert sheet.title == "lots"
    first, second = list(sheet.iter_rows(min_row=2))
    assert [cell.value for cell in first] == [
        "0012", "=1+1", -20.5, "kg", datetime(2026, 3, 31), datetime(2026, 3, 31, 7),
    ]  # fmt: skip
    assert first[1].data_type == "s"
    assert first[1].quotePrefix
    assert first[4].number_format == "yyyy-mm-dd"
    assert [cell.value for cell in second] == ["1e5", "x, y", 3, "m", None, None]


def test_there_and_back() -> None:
    """The text of the table that went in, but for the mark on words that need none here."""
    back, notes = workbook.table(as_workbook(TABLE, "lots"), "x.xlsx", None, "lots")
    assert rows(back) == rows(TABLE.replace("'=1+1", "=1+1").replace(",,\r\n", "\r\n").encode())
    assert notes == []


@given(st.lists(st.text(st.sampled_from("=+-@'a1 \",;"), max_size=6), min_size=1, max_size=5))
def test_words_there_and_back(words: list[str]) -> None:
    """Any words that the service guards are the words that it gets back."""
    guarded = [f"'{w}" if w[:1] in ("=", "+", "-", "@", "'") and w else w for w in words]
    text = io.StringIO(newline="")
    csv.writer(text).writerows([["name", "code"], *[[word, "x"] for word in guarded]])
    back, _ = workbook.table(as_workbook(text.getvalue(), "x"), "x.xlsx", None, "x")
    found = [row[0] for row in rows(back)[1:]]
    assert [f[1:] if f[:1] == "'" else f for f in found] == words


def test_what_a_person_typed(tmp_path: Path) -> None:
    """Dates, times, sums and ticks as a table's text has them."""
    path = saved(tmp_path, ("Sheet1", [
        ["made on", "at", "number", "held", "x"],
        [date(2026, 3, 31), datetime(2026, 3, 31, 7, 15), 0.1 + 0.2, True, "'quoted"],
        [None, None, 12.0, None, "=1+1"],
    ]))  # fmt: skip
    text, _ = reading.read(path, None, "lots")
    assert rows(text)[1] == ["2026-03-31", "2026-03-31 07:15:00", "0.3", "yes", "''quoted"]
    assert rows(text)[2] == ["", "", "12"]


def test_which_sheet(tmp_path: Path) -> None:
    """The one that is named, or named for what it holds, or the only one."""
    path = saved(tmp_path, ("Notes", [["a"]]), ("Lots", [["b"]]))
    assert rows(reading.read(path, None, "lots")[0]) == [["b"]]
    assert rows(reading.read(path, "Notes", "lots")[0]) == [["a"]]
    with pytest.raises(Stopped, match="2 sheets: Notes, Lots"):
        reading.read(path, None, "products")
    with pytest.raises(Stopped, match="no sheet 'X'"):
        reading.read(path, "X", "lots")


def zipped(**parts: bytes) -> bytes:
    """A zip file of parts, whose names have a dot for their underscore."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in parts.items():
            archive.writestr(name.replace("_", "."), content)
    return out.getvalue()


def with_part(book: bytes, name: str, content: bytes) -> bytes:
    """A workbook with one of its parts replaced, or added."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(book)) as old, zipfile.ZipFile(out, "w") as new:
        for part in old.infolist():
            if part.filename != name:
                new.writestr(part, old.read(part))
        new.writestr(name, content)
    return out.getvalue()


GOOD = as_workbook(TABLE, "lots")
BILLION = (
    b'<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a "aaaaaaaaaa">'
    + b"".join(b'<!ENTITY %c "%s">' % (98 + i, b"&%c;" % (97 + i) * 10) for i in range(9))
    + b"]><x>&j;</x>"
)
OUTSIDE = b'<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a SYSTEM "file:///etc/passwd">]><x>&a;</x>'

BAD = {
    "a password": (b"\xd0\xcf\x11\xe0" + b"\0" * 600, "password"),
    "no archive": (b"PK\x03\x04" + b"junk" * 50, "damaged"),
    "no workbook": (zipped(a_xml=b"<x/>"), "damaged"),
    "macros": (with_part(GOOD, "xl/vbaProject.bin", b"x"), "macros"),
    "a bomb": (zipped(a_xml=b"\0" * 60_000_000), "unpacks to 57 MiB"),
    "entities": (with_part(GOOD, "xl/workbook.xml", BILLION), "damaged"),
    "entities in the sheet": (with_part(GOOD, "xl/worksheets/sheet1.xml", BILLION), "damaged"),
    "an entity outside": (with_part(GOOD, "xl/worksheets/sheet1.xml", OUTSIDE), "damaged"),
    "half a sheet": (with_part(GOOD, "xl/worksheets/sheet1.xml", b"<worksheet><sheetD"), "damaged"),
    "not UTF-8": ("name\nCafé".encode("latin-1"), "line 2"),
    "half of UTF-16": (b"\xff\xfea\x00b", "no text"),
}


@pytest.mark.parametrize("name", BAD)
def test_what_is_not_opened(tmp_path: Path, name: str) -> None:
    """In words, at once, and nothing is sent."""
    content, word = BAD[name]
    path = tmp_path / "file.xlsx"
    path.write_bytes(content)
    with pytest.raises(Stopped, match=word) as caught:
        reading.read(str(path), None, "lots")
    assert caught.value.exit_code == 2
    assert caught.value.advice


def test_a_sheet_that_is_too_long(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """More rows than are read are refused, not cut off."""
    monkeypatch.setattr(workbook, "MOST_ROWS", 2_000)
    line = b"<row><c><v>1</v></c></row>" * (workbook.MOST_ROWS + 1)
    space = b"http://schemas.openxmlformats.org/spreadsheetml/2006/main"
    sheet = b'<worksheet xmlns="%s"><sheetData>%s</sheetData></worksheet>' % (space, line)
    path = tmp_path / "long.xlsx"
    path.write_bytes(with_part(GOOD, "xl/worksheets/sheet1.xml", sheet))
    with pytest.raises(Stopped, match="more than 2000 rows"):
        reading.read(str(path), None, "lots")


@pytest.mark.parametrize(
    ("content", "text", "noted"),
    [
        (b"a,b\n", "a,b\n", False),
        ("a,Temp °C\n".encode(), "a,Temp °C\n", False),
        ("a,Temp °C ½\n".encode("latin-1"), "a,Temp °C ½\n", True),
        ("a,Temp °C\n".encode("utf-16"), "a,Temp °C\n", False),
    ],
)
def test_code_pages(tmp_path: Path, content: bytes, text: str, noted: bool) -> None:
    """UTF-8, UTF-16 with its mark, and signs of units in the old western code page."""
    path = tmp_path / "log.csv"
    path.write_bytes(content)
    found, notes = reading.read(str(path), None, "readings")
    assert found.decode() == text
    assert bool(notes) is noted


def test_rows_are_written_as_they_come(monkeypatch: pytest.MonkeyPatch) -> None:
    """No row waits for the last: when one is asked for, all before it are in the sheet."""
    appended: list[int] = []
    plain = workbook.Workbook.create_sheet

    def watched(book: Any, title: str) -> Any:
        sheet = plain(book, title)
        append = sheet.append
        sheet.append = lambda row: (appended.append(1), append(row))
        return sheet

    def lines() -> Iterator[str]:
        yield "number,on hand\r\n"
        for number in range(1000):
            if number > workbook.LOOKED_AT:
                assert len(appended) >= number - 1
            yield f"B-{number},{number}\r\n"

    monkeypatch.setattr(workbook.Workbook, "create_sheet", watched)
    out = io.BytesIO()
    workbook.workbook(lines(), "lots", out)
    assert load_workbook(out)["lots"].max_row == 1001


def test_more_rows_than_a_sheet_has(monkeypatch: pytest.MonkeyPatch) -> None:
    """It is said, with the way out."""
    monkeypatch.setattr(workbook, "ROWS_OF_A_SHEET", 3)
    as_workbook("a\r\n1\r\n2\r\n", "x")
    with pytest.raises(Stopped, match="more than the 3 rows") as caught:
        as_workbook("a\r\n1\r\n2\r\n3\r\n", "x")
    assert ".csv" in caught.value.advice


@given(st.text(st.sampled_from('a"\n\r,é€😀'), max_size=40), st.integers(1, 7))
def test_lines_are_the_text_however_it_is_cut(text: str, size: int) -> None:
    """Also inside a character, and without the mark at the start."""
    raw = ("\ufeff" + text).encode()
    lines = Lines(raw[n : n + size] for n in range(0, len(raw), size))
    found = list(lines)
    assert "".join(found) == text
    assert all(line.endswith("\n") for line in found[:-1])
    assert lines.count == len(found) == text.count("\n") + (text[-1:] not in ("", "\n"))


def test_an_empty_cell_in_the_last_row_costs_nothing(tmp_path: Path) -> None:
    """A format that reaches to the end of the sheet: the rows between are not there."""
    book = Workbook()
    assert book.active is not None
    for row in (["number", "on hand"], ["B-1", 3], [], ["B-2", 4]):
        book.active.append(row)
    book.active.cell(workbook.ROWS_OF_A_SHEET, 1).font = Font(bold=True)
    path = tmp_path / "book.xlsx"
    book.save(path)
    began = time.process_time()
    text, _ = reading.read(str(path), None, "lots")
    assert time.process_time() - began < 5  # made one by one, a million rows took longer
    assert rows(text) == [["number", "on hand"], ["B-1", "3"], [], ["B-2", "4"]]


def test_a_value_beyond_the_rows_that_are_taken_is_refused(tmp_path: Path) -> None:
    """It is no format, and would be lost."""
    book = Workbook()
    assert book.active is not None
    book.active["A1"] = "number"
    book.active.cell(workbook.ROWS_OF_A_SHEET, 1, "B-1")
    book.save(tmp_path / "book.xlsx")
    with pytest.raises(Stopped, match="more than 200030 rows"):
        reading.read(str(tmp_path / "book.xlsx"), None, "lots")
