"""Quality gates of a job: one a line in words, then what would change them, then whose rules."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from .. import hints
from .columns import View, labelled, marked, spaced, wrapped
from .moments import when

BEFORE = {"laminating": "Before laminating", "moving_on": "Before moving on"}


def shown(answer: dict[str, Any], view: View) -> list[str]:
    """The verdict; each gate by the step that it stands before; what would change what."""
    gates = answer["gates"]
    blocks = [_block(step, [g for g in gates if g["before"] == step], view) for step in BEFORE]
    return spaced(
        wrapped(
            f"Job {answer['job']}: {answer['verdict']}, by {answer['title'].lower()}.", view.width
        ),
        *blocks,
        marked(
            (_change(gate, answer["job"], view.now) for gate in gates if gate["change"]), view.width
        ),
        marked(_sources(gates), view.width, "- "),
    )


def _block(step: str, gates: list[dict[str, Any]], view: View) -> list[str]:
    edge = max((len(gate["gate"]) for gate in gates), default=0)
    pairs = [(f"  {gate['gate'].ljust(edge)}  {_verdict(gate)}", gate["found"]) for gate in gates]
    return [BEFORE[step], *labelled(pairs, view.width)]


def _verdict(gate: dict[str, Any]) -> str:
    return "overridden" if gate["overridden"] else str(gate["verdict"])


def _change(gate: dict[str, Any], job: str, now: datetime) -> str:
    if (leave := gate["overridden"]) is None:
        (change,) = hints.added([gate["change"]], job=job)
        return f"{gate['gate']}: {change}"
    until = when(leave["until"], now)
    return f"{gate['gate']}: overridden by {leave['who']} until {until}: {leave['reason']}"


def _sources(gates: list[dict[str, Any]]) -> list[str]:
    return [f"{g['gate']}: {g['source']}." for g in gates if g["change"] and not g["overridden"]]
