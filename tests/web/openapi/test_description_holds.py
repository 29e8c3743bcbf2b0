"""The service's own description of each operation holds, whatever is asked of it.

Schemathesis reads the description and makes requests of it, over HTTP: the worked examples, each
value at its limits, random ones, right and wrong, and chains by the links. Every answer is held
against the description: status, kind, headers and shape; what is wrong is refused, and nobody is
served without a token that is known. What is asked is found by noun, so a new noun or operation
is tried without a line added here.

`SEED=2 EXAMPLES=300 python -m pytest tests/web/openapi/test_description_holds.py` is the long
run, of other requests with each seed.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from typing import Any

import pytest
import requests
import schemathesis
from cureyard_service.web import resources
from schemathesis.config import SchemathesisConfig
from schemathesis.engine import events, from_schema
from schemathesis.engine.recorder import ScenarioRecorder

from ...engines import Engine
from ...waiting import HANGS_S
from ..served_yard import ServedYard, served

SEED = int(os.environ.get("SEED", "1"))
EXAMPLES = int(os.environ.get("EXAMPLES", "6"))
"""Random requests of each operation, and chains of them. What lands is judged by the same ones."""

CHECKS: dict[str, Any] = {
    "max_response_time": 10,  # seconds: nothing hangs, also on a busy machine
    # What has the right shape is still refused for what the store has by then: no such lot
    # (404), stock taken or a number given (409), a version passed (412); and for what a shape
    # can't say: units, an end before its beginning, limits of a cure sheet (422).
    "positive_data_acceptance": {"expected-statuses": ["2xx", "404", "409", "412", "422"]},
    # RFC 6585, 3: a change that does not say which version it changes is answered 428.
    "missing_required_header": {"expected-statuses": ["428"]},
    # As always, but that a fault of the service's own never counts as a refusal.
    "negative_data_rejection": {"expected-statuses": ["400", "404", "405", "415", "422", "428"]},
}
GENERATION: dict[str, Any] = {
    "max-examples": EXAMPLES,
    "database": "none",  # what was found before is not what is tried first: runs are alike
    # Each request shows a token that is good, and `ignored_auth` asks again without and with a
    # wrong one; a random one in its place would be refused before anything else is looked at.
    "with-security-parameters": False,
}
STREAM: dict[str, Any] = {
    # What goes on telling for minutes would be waited for each time; that it does is looked at in
    # `test_milestones_stream`. Here it tells what there is, and ends.
    "include-tag": "milestones",
    "parameters": {"query.seconds": 0},
}
PHASES = ("examples", "coverage", "fuzzing", "stateful")


@pytest.fixture
def yard(engine: Engine) -> Iterator[ServedYard]:
    """A yard with things in it, to be asked."""
    with served(engine) as yard:
        yield yard


def described(yard: ServedYard, phases: list[str], **more: Any) -> schemathesis.BaseSchema:
    """The description, of a yard where everybody logs in: there a token is no choice."""
    config = SchemathesisConfig.from_dict(
        {
            "seed": SEED, "checks": CHECKS, "generation": GENERATION, "base-url": yard.address,
            "continue-on-failure": True, "request-timeout": 30,
            "phases": {phase: {"enabled": phase in phases} for phase in PHASES}, **more,
        }
    )  # fmt: skip
    document = requests.get(f"{yard.address}/openapi.json", timeout=HANGS_S).json()
    document["security"] = [{"token": []}]
    schema = schemathesis.openapi.from_dict(document, config=config)

    @schema.auth(refresh_interval=None)
    class Shown:
        """The token that each request shows."""

        def get(self, _case: schemathesis.Case, _context: Any) -> dict[str, str]:
            return yard.headers()

        def set(self, case: schemathesis.Case, headers: dict[str, str], _context: Any) -> None:
            case.headers.update(headers)

    return schema


def tried(schema: schemathesis.BaseSchema) -> tuple[int, list[str]]:
    """How many requests were done, and what does not hold or could not be tried."""
    done, faults = 0, []
    for event in from_schema(schema).execute():
        if isinstance(event, events.FatalError):
            raise event.exception
        if isinstance(event, events.NonFatalError):
            faults.append(f"{event.label}: {event.info.title}: {event.info.message}")
        if isinstance(event, events.ScenarioFinished):
            asked = event.recorder.interactions
            done += sum(each.response.status_code < 300 for each in asked.values() if each.response)
            faults += failures(event.recorder)
    return done, faults


def failures(recorder: ScenarioRecorder) -> Iterator[str]:
    """What does not hold of what was asked: the operation, why, the request, the answer."""
    for case, checks in recorder.checks.items():
        answer = recorder.interactions[case].response
        for each in (check.failure_info for check in checks if check.failure_info):
            why = f"{each.failure.operation}: {each.failure.title}\n{each.failure.message}"
            yield f"{why}\n{each.code_sample}\n{answer.content[:500] if answer else b''!r}\n"


@pytest.mark.only_on(
    "sqlite"
)  # on PostgreSQL by chains: shapes are judged before the store is asked
@pytest.mark.parametrize("noun", [noun.name for noun in resources.everything()])
def test_an_operation_is_as_it_is_described(yard: ServedYard, noun: str) -> None:
    """By its examples, at its limits and at random."""
    others = {"exclude-tag": noun, "enabled": False}
    phases = ["examples", "coverage", "fuzzing"]
    _done, faults = tried(described(yard, phases, operations=[others, STREAM]))
    assert not faults, f"{len(faults)} faults\n" + "\n".join(faults[:10])


def test_what_one_answer_made_the_next_asks_for(yard: ServedYard) -> None:
    """Operations in chains, as their links give."""
    longer = GENERATION | {"max-examples": 4 * EXAMPLES}
    done, faults = tried(described(yard, ["stateful"], operations=[STREAM], generation=longer))
    assert not faults, f"{len(faults)} faults\n" + "\n".join(faults[:10])
    assert done
