"""The plain writer writes what marshmallow itself would."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from types import SimpleNamespace
from typing import Any, NamedTuple
from zoneinfo import ZoneInfo

import marshmallow as ma
import pytest
from cureyard_service.core.amounts import quantities as q
from cureyard_service.web import fields, resources
from cureyard_service.web.fields.schemas import Answer
from flask import Flask, g
from hypothesis import given, settings
from hypothesis import strategies as st

resources.everything()  # imports every schema of the interface


def below(schema: type[Answer]) -> Iterator[type[Answer]]:
    """The schemas that are made from one."""
    for each in schema.__subclasses__():
        yield each
        yield from below(each)


SCHEMAS = sorted(set(below(Answer)), key=lambda each: f"{each.__name__} {each.__module__}")

BASE = st.integers(0, 10**12) | st.decimals(0, 10**6, places=3)
MOMENTS = st.integers(0, 10**10) | st.floats(0, 10**10)


def amounts(kinds: tuple[q.Kind, ...]) -> st.SearchStrategy[Any]:
    """A number in base units with its kind."""
    return st.tuples(BASE, st.sampled_from(kinds))


def values(field: Any) -> st.SearchStrategy[Any]:
    """What an act may return for a field."""
    match field:
        case fields.Nested():
            found = things(field.schema)
        case fields.List():
            found = st.lists(values(field.inner), max_size=2)
        case fields.Quantity():
            found = BASE
        case fields.AnyQuantity():
            found = amounts(field.kinds)
        case fields.AskedAgain():
            found = st.tuples(st.integers(0, 10**12), st.sampled_from(field.kinds))
        case fields.Number():
            found = st.integers(-9, 9) | st.decimals(-9, 9, places=4) | st.floats(-9, 9)
        case fields.Flag():
            found = st.booleans() | st.integers(0, 1)
        case fields.Day():
            found = st.dates(date(1970, 1, 1)) | st.just("2026-03-31")
        case fields.TimeOfDay():
            found = st.times() | st.just("07:30")
        case fields.Moment():
            found = MOMENTS
        case _:
            found = st.text(max_size=3)
    return st.none() | found


def things(schema: ma.Schema) -> st.SearchStrategy[dict[str, Any]]:
    """A dict of some of a schema's names."""
    named = {field.attribute or name: field for name, field in schema.dump_fields.items()}
    return st.fixed_dictionaries({}, optional={n: values(field) for n, field in named.items()})


@pytest.fixture(scope="module", autouse=True)
def _reader() -> Iterator[None]:
    """Somebody who reads on a clock that changes in summer."""
    with Flask("reader").test_request_context("/?units=us"):
        g.zone = ZoneInfo("Europe/Lisbon")
        yield


@pytest.mark.parametrize("schema", SCHEMAS, ids=lambda each: each.__name__)
@settings(max_examples=6)
@given(data=st.data())
def test_each_schema_is_written_as_marshmallow_would(
    schema: type[Answer], data: st.DataObject
) -> None:
    """Names left out, nulls, and whatever an act returns for a name; by key and by attribute.

    An object inside an object is written by its own schema, which is one of those tried here.
    """
    made = schema()
    g.units = data.draw(st.sampled_from(["metric", "us"]))
    thing = data.draw(things(made))
    named = SimpleNamespace(**thing)  # marshmallow would take a dict's own `items` for the key
    wanted = ma.Schema.dump(made, named)
    beside = {name for name, other in made.left_out.items() if thing.get(other) is None}
    wanted = {name: value for name, value in wanted.items() if name not in beside}
    assert made.dump(thing) == wanted
    assert made.dump(named) == wanted
    json.dumps(wanted)


@pytest.mark.parametrize("schema", [each for each in SCHEMAS if each.__name__ == "LotsToSeeTo"])
def test_what_was_shown_before_is_shown_again(schema: type[Answer]) -> None:
    """In whatever order its items come the next time, nulls among them."""
    made, g.units = schema(), "metric"
    for items in ([{}, None], [None, {}], [{}], [None, None, {}], []):
        thing = SimpleNamespace(held=items)
        assert made.dump(thing) == ma.Schema.dump(made, thing)


SUMMER = 1_782_900_000
"""2026-07-01, when Lisbon is an hour ahead of UTC."""


class Reel(NamedTuple):
    """A thing with attributes, and with places that are no names."""

    length: int
    rows: tuple[int, ...] = ()


@dataclass(frozen=True)
class Room:
    """A thing with attributes alone."""

    opened: int
    reels: list[Reel]


class ReelOut(Answer):
    """A reel."""

    length = fields.Quantity(q.LENGTH)
    colour = fields.Text()


class RoomOut(Answer):
    """A room."""

    opened = fields.Moment(data_key="since")
    reels = fields.List(fields.Nested(ReelOut))


def test_objects_in_objects_and_many() -> None:
    """A dataclass with a list of named tuples, alone or one of many."""
    room = Room(opened=SUMMER, reels=[Reel(2_000_000)])
    told = RoomOut().dump(room)
    assert told["since"].endswith("+01:00")
    assert [set(each) for each in told["reels"]] == [{"length"}]
    assert RoomOut().dump([room, room], many=True) == [told, told]
    assert RoomOut(many=True).dump((room,)) == [told]
