"""The service's own description of each operation holds, whatever is asked of it.

Schemathesis reads the description and makes requests of it, over HTTP: the worked examples, each
value at its limits, random ones, right and wrong, and chains by the links. Every answer is held
against the description: status, kind, headers and shape; what is wrong is refused, and nobody is
served without a token that is known. What is asked is found by noun, so a new noun or operation
is tried without a line added here.

`SEED=2 EXAMPLES=300 python -m pytest tests/web/test_description_holds.py` is the long run, of
other requests with each seed.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from typing import Any

import pytest
import schemathesis
from cureyard_service.web.resources import BLUEPRINTS
from schemathesis.config import SchemathesisConfig
from schemathesis.engine import events, from_schema

from ..engines import Engine
from .served_yard import ServedYard, served

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
PHASES = ("examples", "coverage", "fuzzing", "stateful")


@pytest.fixture
def yard(engine: Engine) -> Iterator[ServedYard]:
    """A yard with things in it, to be asked."""
    with served(engine) as yard:
        yield yard


def described(yard: ServedYard, phases: tuple[str, ...], **more: Any) -> schemathesis.BaseSchema:
    """The description, of a yard where everybody logs in: there a token is no choice."""
    config = SchemathesisConfig.from_dict(
        {
            "seed": SEED, "checks": CHECKS, "generation": GENERATION, "base-url": yard.address,
            "continue-on-failure": True,
            "phases": {phase: {"enabled": phase in phases} for phase in PHASES}, **more,
        }
    )  # fmt: skip
    document = yard.document | {"security": [{"token": []}]}
    schema = schemathesis.openapi.from_dict(document, config=config)

    @schema.auth(refresh_interval=None)
    class Shown:
        """The token that each request shows."""

        def get(self, case: schemathesis.Case, _context: Any) -> str:
            return yard.token()

        def set(self, case: schemathesis.Case, token: str, _context: Any) -> None:
            case.headers["Authorization"] = f"Bearer {token}"

    return schema


def faults(schema: schemathesis.BaseSchema) -> Iterator[str]:
    """What does not hold, or could not be tried."""
    for event in from_schema(schema).execute():
        if isinstance(event, events.FatalError):
            raise event.exception
        if isinstance(event, events.NonFatalError):
            yield f"{event.label}: {event.info.title}: {event.info.message}"
        if isinstance(event, events.ScenarioFinished):
            for case, checks in event.recorder.checks.items():
                answer = event.recorder.interactions[case].response
                for check in checks:
                    if check.failure_info is not None:
                        yield (
                            f"{check.failure_info.failure.operation}: "
                            f"{check.failure_info.failure.title}\n"
                            f"{check.failure_info.failure.message}\n"
                            f"{check.failure_info.code_sample}\n"
                            f"{answer.content[:500] if answer else 'no answer'!r}"
                        )


@pytest.mark.timeout(600)
@pytest.mark.parametrize("noun", [noun.name for noun in BLUEPRINTS])
def test_an_operation_is_as_it_is_described(yard: ServedYard, noun: str) -> None:
    """By its examples, at its limits and at random."""
    others = {"exclude-tag": noun, "enabled": False}
    schema = described(yard, ("examples", "coverage", "fuzzing"), operations=[others])
    found = list(faults(schema))
    assert not found, f"{len(found)} faults, of which:\n\n" + "\n\n".join(found[:10])


@pytest.mark.timeout(600)
def test_what_one_answer_made_the_next_asks_for(yard: ServedYard) -> None:
    """Operations in chains, as their links give."""
    found = list(faults(described(yard, ("stateful",))))
    assert not found, f"{len(found)} faults, of which:\n\n" + "\n\n".join(found[:10])
