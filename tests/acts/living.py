"""Days that Hypothesis thinks of, lived through on an engine."""

from __future__ import annotations

from typing import Any

from hypothesis import HealthCheck, settings
from hypothesis.stateful import RuleBasedStateMachine, run_state_machine_as_test

from ..engines import Engine


def live(
    machine: type[RuleBasedStateMachine], engine: Engine, days: int, acts: int, **more: Any
) -> None:
    """So many days of so many acts each; the machine's `engine` is set. `more` are settings."""
    run_state_machine_as_test(
        type("OnEngine", (machine,), {"engine": engine}),
        settings=settings(
            max_examples=days,
            stateful_step_count=acts,
            deadline=None,
            suppress_health_check=list(HealthCheck),
            **more,
        ),
    )
