"""A pot's card: what the hand was told when it was mixed, and what was seen of it since."""

from __future__ import annotations

from typing import Any, Literal

from ..store import layups, tables
from . import mix

State = Literal["mixed", "lost", "not_mixed"]
STATES = ("mixed", "lost", "not_mixed")


def show_card(row: tables.Batch) -> dict[str, Any]:
    """A pot as `mix.show_batch` has it, with its `state` and its `observations`, oldest first."""
    seen = layups.observations_of_batch(row.id)
    return {
        **mix.show_batch(row),
        "state": _state({each.kind for each in seen}),
        "observations": [
            {"kind": each.kind, "at": each.at, "note": each.note, "who": each.who,
             "verified": each.verified}
            for each in seen
        ],
    }  # fmt: skip


def _state(kinds: set[str]) -> State:
    """Whether it went into work. One that was lost was mixed; its stock stays drawn."""
    if "not_mixed" in kinds:
        return "not_mixed"
    return "lost" if "lost" in kinds else "mixed"
