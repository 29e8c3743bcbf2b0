"""Items of long lists are read straight: they load to what marshmallow loads, and are refused so.

The source is marshmallow itself, which reads the same item by the same schema.
"""

from __future__ import annotations

from typing import Any

import marshmallow as ma
import pytest
from cureyard_service.acts.bays import import_readings, readings
from cureyard_service.store.engine import database
from cureyard_service.web.fields.schemas import PlainBody
from cureyard_service.web.resources import bays
from cureyard_service.web.resources.bays import ReadingIn, ReadingsIn
from flask.testing import FlaskClient

from ... import makers

AT = "2026-03-20T08:00:00Z"
RIGHT: tuple[dict[str, Any], ...] = (
    {"at": AT, "temperature": "18 degC"},
    {"at": "2026-03-20T08:00:00.75+01:00", "temperature": "65 degF", "humidity_percent": 62},
    {"at": AT, "temperature": "291.15 K", "humidity_percent": 62.5, "replaces": True,
     "reason": " misread "},
)  # fmt: skip
WRONG: tuple[Any, ...] = (
    7, "18 degC", [], {}, {"at": AT}, {"temperature": "18 degC"},
    *(RIGHT[0] | {name: value} for name, value in (
        ("at", None), ("at", 7), ("at", "yesterday"), ("at", "2026-02-30T08:00:00Z"),
        ("temperature", None), ("temperature", 18), ("temperature", "18"),
        ("temperature", "18 kg"), ("temperature", "-400 degC"), ("humidity_percent", 0),
        ("humidity_percent", "62"), ("humidity_percent", True), ("humidity_percent", None),
        ("replaces", "yes"), ("reason", ""), ("reason", 7), ("bay", "SHED"), ("reason", []),
    )),
)  # fmt: skip


def by_marshmallow(item: Any) -> Any:
    """What it loads to, or the words of its refusals."""
    try:
        return ReadingIn().load(item)
    except ma.ValidationError as error:
        return repr(error.normalized_messages())


@pytest.mark.parametrize("item", RIGHT)
def test_what_is_right_loads_to_the_same(item: dict[str, Any]) -> None:
    """Alone, and among others."""
    assert ReadingIn().straight(item) == by_marshmallow(item)
    loaded = ReadingsIn().load({"readings": [item, *RIGHT]})["readings"]
    assert loaded == [by_marshmallow(each) for each in (item, *RIGHT)]


@pytest.mark.parametrize("item", WRONG)
def test_what_is_wrong_is_refused_in_the_same_words(item: Any) -> None:
    """With its place in the list, even if all others are right."""
    with pytest.raises(ma.ValidationError) as refused:
        ReadingsIn().load({"readings": [*RIGHT, item]})
    ((where, messages),) = refused.value.normalized_messages()["readings"].items()
    assert where == len(RIGHT)
    assert repr(messages) == by_marshmallow(item)


@pytest.mark.parametrize("value", ["", "18 degC", {}, {"at": AT}, 7, None, True, []])
def test_what_is_no_list_is_refused(value: Any) -> None:
    """Also a text without a letter, which has no item that could be amiss."""
    with pytest.raises(ma.ValidationError) as refused:
        ReadingsIn().load({"readings": value})
    assert list(refused.value.normalized_messages()) == ["readings"]


def test_readings_are_checked_before_the_store_is_locked(
    client: FlaskClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A long file keeps nobody waiting while it is read: only what the store must judge waits."""
    locked: list[bool] = []

    def watched(*args: Any, **kwargs: Any) -> Any:
        locked.append(database.is_writing())
        return readings.check(*args, **kwargs)

    monkeypatch.setattr(bays, "check", watched)
    monkeypatch.setattr(import_readings, "check", watched)
    assert client.post("/v1/bays", json=makers.bay()).status_code == 201
    table = "at,temperature\n2026-03-20T08:00:00Z,18 degC\n"
    for path in ("/v1/bays/SHED/readings", "/v1/imports/readings/SHED"):
        sent = client.post(path, data=table, content_type="text/csv")
        assert sent.status_code in (200, 201), sent.text
    assert locked == [False, False]


def test_a_field_with_more_to_it_is_no_plain_one() -> None:
    """Such as a default, which only marshmallow knows to put in."""

    class WithDefault(PlainBody):
        many = ma.fields.Integer(load_default=1)

    with pytest.raises(TypeError, match="more to it"):
        WithDefault().straight({"many": 2})
