"""The interface in parts: each noun by itself answers as the whole does."""

from __future__ import annotations

from typing import Any

import pytest
from cureyard_service.store.engine.database import db
from cureyard_service.web import resources
from cureyard_service.web.context.house import House
from cureyard_service.web.context.settings import Settings
from cureyard_service.web.parts import Parts
from cureyard_service.web.wiring import wire
from flask import Flask
from flask.testing import FlaskClient
from werkzeug.test import Client

HERE = {"REMOTE_ADDR": "127.0.0.1"}
LATEST_FIRST = tuple(reversed(resources.NOUNS))


def rules(app: Flask, noun: str) -> set[tuple[str, str, frozenset[str]]]:
    """A noun's addresses, what serves each, and by which methods."""
    return {
        (rule.rule, rule.endpoint, frozenset(rule.methods or ()))
        for rule in app.url_map.iter_rules()
        if f"{rule.rule}/".startswith(f"/v1/{noun}/")
    }


@pytest.mark.only_on("sqlite")
@pytest.mark.parametrize("noun", LATEST_FIRST)
def test_a_part_serves_all_that_its_noun_has(app: Flask, noun: str) -> None:
    """In whatever order they are asked for; nothing that the whole serves is left out."""
    part, _ = wire(House(Settings(), lambda: 0), resources.serving(noun))
    assert rules(part, noun) == rules(app, noun)


@pytest.mark.only_on("sqlite")
def test_each_address_is_a_nouns(app: Flask) -> None:
    """None of the interface can be asked of the whole alone."""
    served = {rule.rule.split("/")[2] for rule in app.url_map.iter_rules()
              if rule.rule.startswith("/v1/")}  # fmt: skip
    assert served - {"toys"} == set(resources.NOUNS)


@pytest.fixture
def parts(app: Flask) -> Client:
    """The parts, on the store that the whole is on, with its clock."""
    settings = app.extensions["cureyard"].settings
    db.close()
    return Client(Parts(settings, clock=app.extensions["cureyard"].clock))


@pytest.mark.parametrize(
    "path",
    ["/v1/now", "/v1/lots", "/v1/yard?units=us", "/v1/jobs/D-7", "/v1/jobs?colour=red",
     "/v1/nothing", "/v2/lots"],
)  # fmt: skip
def test_the_same_is_answered(client: FlaskClient, parts: Client, path: str) -> None:
    """What there is, what there is not, and what is asked wrongly."""

    def told(who: Any) -> tuple[int, bytes, str | None]:
        answer = who.get(path, base_url="http://localhost", environ_overrides=HERE)
        return answer.status_code, answer.data, answer.mimetype

    assert told(parts) == told(client)
