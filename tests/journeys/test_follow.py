"""A logger's file as it grows, with the real program: whole lines, rotated, cut, and read again."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from .. import makers
from ..putting import by_http
from ..waiting import until
from .conftest import Hand
from .test_listen import heats, readings, typed

HEADINGS = "logger of the shed\nDate-Time,Temp (degC),RH (%)\n"
BEGAN = datetime.now(UTC).replace(microsecond=0) - timedelta(hours=6)


def row(minute: int, celsius: float | str) -> str:
    """A logger's line."""
    return f"{(BEGAN + timedelta(minutes=minute)).isoformat()},{celsius},58\n"


def rows(*celsius: float | str, first: int = 0) -> str:
    """Lines, a minute apart."""
    return "".join(row(first + n, each) for n, each in enumerate(celsius))


@pytest.fixture
def log(tmp_path: Path) -> Path:
    """A logger's file."""
    file = tmp_path / "log.csv"
    file.write_text(HEADINGS + rows(19, 19.1), encoding="utf-8")
    return file


@pytest.fixture
def url(tmp_path: Path) -> Iterator[str]:
    """A yard that is served."""
    hand = Hand.at(tmp_path / "yard", database=str(tmp_path / "yard.sqlite"), zone="UTC")
    with hand.serving() as served:
        by_http(served, bays=[makers.bay("SHED", "20 degC")])
        yield served


def following(tmp_path: Path, url: str, log: Path) -> Any:
    """`cureyard import readings … --follow`."""
    pi = Hand.at(tmp_path / "pi", url=url)
    return typed(pi, "import", "readings", str(log), "--bay", "SHED", "--follow")


def adds(log: Path, text: str) -> None:
    """The logger writes on."""
    with log.open("a", encoding="utf-8") as file:
        file.write(text)


def test_as_it_grows_and_once_more(tmp_path: Path, url: str, log: Path) -> None:
    """A half line waits; begun again, nothing is there twice."""
    with following(tmp_path, url, log) as program:
        program.says("2 added")
        adds(log, rows(19.2, first=2) + row(3, 19.3)[:-8])
        program.says("1 added")
        assert heats(url) == [19, 19.1, 19.2]
        adds(log, row(3, 19.3)[-8:])
        program.says("1 added")
        program.interrupted()
    with following(tmp_path, url, log) as program:
        program.says("0 added, 4 there already")
        adds(log, rows(60, first=4))
        program.says("1 added")
        program.interrupted()
    found = readings(url)
    assert [each["temperature"]["value"] for each in found] == [19, 19.1, 19.2, 19.3, 60]
    assert all(each["probe"] for each in found)
    assert [each["doubt"] for each in found] == [None] * 4 + ["jumped"]


def rotated(log: Path) -> None:
    """Another file takes its place; the old one got a last line."""
    adds(log, rows(19.2, first=2))
    log.rename(log.with_suffix(".1"))
    log.write_text(HEADINGS + rows(19.3, first=3), encoding="utf-8")


def emptied(log: Path) -> None:
    """It is cut and written anew."""
    with log.open("r+", encoding="utf-8") as file:
        file.truncate(0)
    log.write_text(HEADINGS + rows(19.2, 19.3, first=2), encoding="utf-8")


def grown_past(log: Path) -> None:
    """It is cut, and longer than it was when it is looked at."""
    log.write_text(
        "another title\n" + HEADINGS + rows(19.2, 19.3, *[19.3] * 30, first=2), encoding="utf-8"
    )


@pytest.mark.parametrize("change", [rotated, emptied, grown_past])
def test_another_file_in_its_place(
    tmp_path: Path, url: str, log: Path, change: Callable[[Path], None]
) -> None:
    """Nothing of either is lost."""
    with following(tmp_path, url, log) as program:
        program.says("2 added")
        change(log)
        until(lambda: len(heats(url)) >= 4, "the other file's lines")
        assert heats(url)[:4] == [19, 19.1, 19.2, 19.3]
        program.interrupted()


def test_a_broken_line_is_passed_over(tmp_path: Path, url: str, log: Path) -> None:
    """As a logger leaves when its power goes; when the file is read anew as well."""
    with following(tmp_path, url, log) as program:
        program.says("2 added")
        with log.open("ab") as file:
            file.write(f"{row(2, 19.2)}2026-99-99T08:00,19,5\n".encode())
            file.write(b"\xff\xfe\x00,1\n" + rows("warm", 19.3, first=3).encode())
        assert "not in UTF-8" in program.says("Passed over")
        program.says("2026-99-99")
        program.says("warm")
        program.says("2 added")
        program.interrupted()
    with following(tmp_path, url, log) as program:
        program.says("0 added, 4 there already")
        program.interrupted()
    assert heats(url) == [19, 19.1, 19.2, 19.3]


def test_a_file_that_is_begun_later(tmp_path: Path, url: str, log: Path) -> None:
    """Its headings alone are no readings yet."""
    log.write_text(HEADINGS, encoding="utf-8")
    with following(tmp_path, url, log) as program:
        program.says("The file has no readings. More lines are waited for.")
        adds(log, rows(19))
        program.says("1 added")
        program.interrupted()


def test_the_service_goes_away(tmp_path: Path, log: Path) -> None:
    """What was written meanwhile is there when it is back, once."""
    hand = Hand.at(tmp_path / "yard", database=str(tmp_path / "yard.sqlite"), zone="UTC")
    with hand.serving() as url:
        by_http(url, bays=[makers.bay("SHED", "20 degC")])
        port = int(url.rpartition(":")[2])
    with following(tmp_path, url, log) as program:
        program.says("The service does not take it")
        adds(log, rows(19.2, first=2))
        with hand.serving(port):
            program.says("The service answers again.")
            until(lambda: len(heats(url)) == 3, "what was written meanwhile")
        program.interrupted()
