"""The worked examples of `/docs` and the description are what the service answers."""

from __future__ import annotations

import json
from contextlib import closing
from html import unescape
from typing import Any

import pytest
from cureyard_service.web.openapi.examples import WIDTH, pretty
from cureyard_service.web.worked import Step, steps
from flask.testing import FlaskClient
from hypothesis import given, settings
from hypothesis import strategies as st

from ...engines import Engine
from ..worked import RECORDED, play

described = pytest.mark.only_on("sqlite")  # the description is the same on any database


def test_the_story_is_answered_as_it_is_shown(engine: Engine) -> None:
    """Every request in its order on an empty store, each answer whole: status, headers, values.

    Changed on purpose? `python -m tests.web.worked` records anew; the difference is to be read.
    """
    with closing(play(engine.empty())) as story:
        for _chapter, step, found in story:
            shown = {name: step[name] for name in RECORDED if name in step}
            assert found == shown, f"{step['operation']}: {step['says']}"


@pytest.fixture
def document(client: FlaskClient) -> dict[str, Any]:
    """The OpenAPI document."""
    found: dict[str, Any] = client.get("/openapi.json").json
    return found


def operations(document: dict[str, Any]) -> dict[str, dict[str, Any]]:
    """Every operation of the description but the toys'."""
    return {
        f"{method.upper()} {path}": operation
        for path, methods in document["paths"].items()
        for method, operation in methods.items()
        if method != "parameters" and not path.startswith("/v1/toys")
    }


@described
def test_every_operation_has_a_worked_example(document: dict[str, Any]) -> None:
    """One that was done, not refused; what has none is to join the story."""
    worked = {step.operation for step in steps() if step.status < 300}
    assert sorted(operations(document).keys() - worked) == []


@described
def test_the_description_carries_them(document: dict[str, Any]) -> None:
    """Each body under its media type in the request, each good answer under its status.

    Beside these a body has no `example` of its own: OpenAPI allows one or the other.
    """
    for name, operation in operations(document).items():
        mine = [step for step in steps() if step.operation == name]
        carried = operation.get("requestBody", {}).get("content", {})
        sent = [(step.body, step.table, step.text) for step in mine]
        asked = [bodies for bodies in sent if bodies != (None, None, None)]
        assert sum(len(kind.get("examples", {})) for kind in carried.values()) == len(asked)
        assert not any("example" in kind for kind in carried.values())
        for step in mine:
            if step.status < 300 and step.shown is None:
                answer = operation["responses"][str(step.status)]["content"][step.kind]
                assert step.says in {each["summary"] for each in answer["examples"].values()}


@described
def test_the_description_says_what_stood_in_the_addresses(document: dict[str, Any]) -> None:
    """A code as text, an id as a number: what was asked for in the story is there."""
    asked = {
        path: [each["value"] for each in parameter["examples"].values()]
        for path, methods in document["paths"].items()
        for parameter in methods.get("parameters", ())
        if not path.startswith("/v1/toys")
    }
    assert set(asked["/v1/bays/{code}"]) == {"SHED"}
    assert 1 in asked["/v1/lots/{lot}/trace"]
    assert all(asked.values())


@described
def test_the_page_shows_them_whole(client: FlaskClient) -> None:
    """What is sent and what comes back, in lines that fit a page where their words let them."""
    text = unescape(client.get("/docs/examples").text)
    for step in steps():
        assert f"{step.method} {step.asked}" in text
        assert step.says in text
        if step.answer is not None:
            assert pretty(step.answer) in text


def test_a_refusal_is_among_them() -> None:
    """Whoever writes a client sees what one looks like."""
    assert any(step.status == 409 and "detail" in step.answer for step in steps())


def test_a_step_knows_its_request() -> None:
    """Where nothing else is said, the operation's own path is asked."""
    step = Step("GET /v1/jobs", "What is open.")
    assert (step.method, step.path, step.asked) == ("GET", "/v1/jobs", "/v1/jobs")


@settings(max_examples=60)
@given(
    st.recursive(
        st.none() | st.booleans() | st.integers() | st.text(max_size=30),
        lambda inner: st.lists(inner) | st.dictionaries(st.text(max_size=10), inner),
    )
)
def test_pretty_json_is_the_same_json(value: Any) -> None:
    """And no line is longer than a page but for what cannot be broken."""
    text = pretty(value)
    assert json.loads(text) == value
    for line in text.split("\n"):
        if line.rstrip(",").endswith(("]", "}")):
            assert len(line) <= WIDTH + 1
