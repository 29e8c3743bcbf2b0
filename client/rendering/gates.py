"""The quality gates of a job: a line for each, then what would change it, then whose rule it is."""

from __future__ import annotations

from .. import hints
from ..answers import Record
from .columns import View, labelled, marked, spaced, wrapped
from .moments import when

BEFORE = {"laminating": "Before laminating", "moving_on": "Before moving on"}


def shown(answer: Record, view: View) -> list[str]:
    """The verdict; the gates before each step; what would change a gate; where sources are."""
    where = f"Whose rules these are: cureyard job gates {answer['job']} --why"
    return _told(answer, view, [where] if _sources(answer["gates"]) else [])


def with_sources(answer: Record, view: View) -> list[str]:
    """As `shown`, with the source of each gate that does not pass."""
    return _told(answer, view, _sources(answer["gates"]))


def _told(answer: Record, view: View, last: list[str]) -> list[str]:
    gates = answer["gates"]
    blocks = [_block(step, [g for g in gates if g["before"] == step], view) for step in BEFORE]
    return spaced(
        wrapped(
            f"Job {answer['job']}: {answer['verdict']}, by {answer['title'].lower()}.", view.width
        ),
        *blocks,
        marked(
            (_change(gate, answer["job"], view) for gate in gates if gate["change"]), view.width
        ),
        marked(last, view.width, "- "),
    )


def _block(step: str, gates: list[Record], view: View) -> list[str]:
    edge = max((len(gate["gate"]) for gate in gates), default=0)
    pairs = [(f"  {gate['gate'].ljust(edge)}  {_verdict(gate)}", gate["found"]) for gate in gates]
    return [BEFORE[step], *labelled(pairs, view.width)]


def _verdict(gate: Record) -> str:
    return "overridden" if gate["overridden"] else str(gate["verdict"])


def _change(gate: Record, job: str, view: View) -> str:
    if (override := gate["overridden"]) is None:
        (change,) = hints.added([gate["change"]], job=job)
        return f"{gate['gate']}: {change}"
    until = when(override["until"], view)
    return f"{gate['gate']}: overridden by {override['who']} until {until}: {override['reason']}"


def _sources(gates: list[Record]) -> list[str]:
    return [f"{g['gate']}: {g['source']}." for g in gates if g["change"] and not g["overridden"]]
