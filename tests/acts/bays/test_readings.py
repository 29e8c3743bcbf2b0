"""Read a bay: told twice is no change, another value is refused, a correction keeps the old."""

from __future__ import annotations

from typing import Any

import pytest
from cureyard_service.acts.bays import air as bay_air
from cureyard_service.acts.bays import readings as read_bay
from cureyard_service.acts.bays.readings import ReadingsView, ReadingView
from cureyard_service.acts.yard import finding
from cureyard_service.core import errors
from peewee import Database

from .. import sample_yard as yard
from ..sample_yard import DAY, HAND, NOW

pytestmark = pytest.mark.usefixtures("books")


def reading(celsius: float, at: int = NOW, **facts: Any) -> dict[str, Any]:
    """A reading as the interface gives it."""
    return {"at": at, "temperature": yard.heat(f"{celsius} degC"), **facts}


def read(*readings: dict[str, Any], bay: str = "SHED", now: int = NOW) -> ReadingsView:
    """Readings recorded."""
    return read_bay.read_bay(bay=bay, readings=list(readings), now=now, hand=HAND)


def listed(bay: str = "SHED") -> list[ReadingView]:
    """Every reading on record, the last first."""
    return read_bay.list_readings(finding.bay(bay).id, None, 50)


def test_the_same_again_is_no_change(books: Database) -> None:
    """A logger's file sent twice writes nothing the second time."""
    file = [reading(18 + n, NOW - n * 600) for n in range(5)]
    assert read(*file) == ReadingsView(recorded=5, unchanged=0, replaced=0)
    before = yard.contents(books)
    assert read(*file) == ReadingsView(recorded=0, unchanged=5, replaced=0)
    assert yard.contents(books) == before


def test_another_value_is_refused_and_all_with_it(books: Database) -> None:
    """All or nothing: the good ones of the same file are not kept either."""
    read(reading(18))
    before = yard.contents(books)
    with pytest.raises(errors.ReadingDiffers) as refused:
        read(reading(17, NOW - 60), reading(18.5), reading(19, NOW - 120))
    assert refused.value.pointer == "/readings/1"
    assert "20 Mar 09:46" in refused.value.detail  # 09:46:40, as the bay's page and lists show it
    assert yard.contents(books) == before


@pytest.mark.parametrize("facts", [{"replaces": True}, {"reason": "misread"}, {"replaces": False}])
def test_a_correction_says_that_it_is_one_and_why(facts: dict[str, Any]) -> None:
    """Half a correction is none."""
    read(reading(18))
    with pytest.raises(errors.ReadingDiffers):
        read(reading(18.5, **facts))


def test_a_correction_keeps_the_old_one() -> None:
    """The bay goes by the new value; both stand on record, one pointing at the other."""
    read(reading(18))
    told = read(reading(25, replaces=True, reason="misread"), now=NOW + 60)
    assert told == ReadingsView(recorded=0, unchanged=0, replaced=1)
    new, old = listed()
    assert (new.replaces, new.reason) == (old.id, "misread")
    assert old.temperature == yard.heat("18 degC")
    assert bay_air.taken(finding.bay("SHED"), NOW).temperature == pytest.approx(298.15)
    again = read(reading(26, replaces=True, reason="once more"), now=NOW + 120)
    assert again.replaced == 1
    assert listed()[0].replaces == new.id
    with pytest.raises(errors.ReadingDiffers):
        read(reading(18), now=NOW + 180)


def test_another_humidity_is_another_reading() -> None:
    """Humidity is part of what was read."""
    read(reading(18, humidity_percent=60))
    with pytest.raises(errors.ReadingDiffers):
        read(reading(18, humidity_percent=61))
    assert read(reading(18, humidity_percent=60)).unchanged == 1


def test_two_in_one_post_that_differ(books: Database) -> None:
    """Neither is kept; twice the same in one file is one reading."""
    before = yard.contents(books)
    with pytest.raises(errors.ReadingDiffers, match="this request has"):
        read(reading(18), reading(19, replaces=True, reason="which?"))
    assert yard.contents(books) == before
    assert read(reading(18), reading(18)) == ReadingsView(recorded=1, unchanged=1, replaced=0)


def test_bays_are_apart() -> None:
    """One moment in two bays is two readings."""
    read(reading(18))
    assert read(reading(30), bay="TENT").recorded == 1


@pytest.mark.parametrize(
    ("told", "pointer"),
    [
        (reading(-60.01), "/readings/1/temperature"),
        (reading(121), "/readings/1/temperature"),
        (reading(18, NOW + 301), "/readings/1/at"),
        (reading(18, NOW + 10 * 365 * DAY), "/readings/1/at"),
    ],
)
def test_what_no_bay_is(books: Database, told: dict[str, Any], pointer: str) -> None:
    """A broken thermometer or clock is told where in the file it is."""
    before = yard.contents(books)
    with pytest.raises(errors.Invalid) as refused:
        read(reading(18), told)
    assert refused.value.pointer == pointer
    assert yard.contents(books) == before


def test_every_fault_of_a_file_is_told_at_once() -> None:
    """A person mends a file once, not line by line."""
    with pytest.raises(errors.Refusals) as refused:
        read(reading(200), reading(18), reading(18, NOW + DAY))
    assert [each.pointer for each in refused.value.refusals] == [
        "/readings/0/temperature", "/readings/2/at",
    ]  # fmt: skip
