"""Sequences: steps kept by name, planned with the product of each part."""

from __future__ import annotations

from datetime import time
from decimal import Decimal
from typing import Any

import pytest
from cureyard_service.acts.plan import sequences
from cureyard_service.acts.plan.chain import plan_chain
from cureyard_service.core import errors
from peewee import Database

from .. import sample_yard as yard
from ..sample_yard import HAND, MIN, NOW, H

pytestmark = pytest.mark.usefixtures("books")

STEPS: list[dict[str, Any]] = [
    {"title": "Gel coat", "kind": "cure", "part": "Face", "work": 30 * MIN},
    {"title": "Plies", "kind": "cure", "part": "laminate", "work": 90 * MIN, "abrade": H},
    {"title": "Rest", "kind": "wait", "wait": 2 * H},
    {"title": "Plies again", "kind": "cure", "part": "LAMINATE", "work": 60 * MIN},
    {"title": "Grind", "kind": "work", "work": 2 * H},
]
HOURS = {"days": ["mon", "tue", "wed", "thu", "fri"], "begin": time(7), "finish": time(17)}
LAM = {"product": "LAM", "catalyst_percent": Decimal(2)}
PARTS = [{"part": "face", **LAM}, {"part": "laminate", **LAM}]


def kept(name: str = "SKIN", steps: Any = STEPS) -> sequences.SequenceView:
    """A sequence."""
    return sequences.keep_sequence(name=name, steps=steps, now=NOW, hand=HAND)


def planned(**asked: Any) -> Any:
    """A plan in the shed."""
    return plan_chain(now=NOW, bay="SHED", hours=HOURS, **asked)


def test_a_sequence_plans_as_its_steps_do() -> None:
    """Typed out with the products it is the same plan; a part is one word whatever its case."""
    assert kept().parts == ["Face", "laminate"]
    typed = [
        {name: value for name, value in step.items() if name != "part"}
        | (LAM if step["kind"] == "cure" else {})
        for step in STEPS
    ]
    assert planned(sequence="skin", parts=PARTS) == planned(steps=typed)


def test_the_newest_of_a_name_counts() -> None:
    """Whatever its case; the one before stays on record."""
    kept()
    kept("OTHER")
    kept("skin", STEPS[:1])
    assert [each.name for each in sequences.list_sequences(None, 9)] == ["skin", "OTHER"]
    assert len(sequences.show_sequence("Skin").steps) == 1
    newest = sequences.list_sequences(None, 1)[0]
    assert [each.name for each in sequences.list_sequences(newest.id, 9)] == ["OTHER"]
    with pytest.raises(errors.NotFound):
        sequences.show_sequence("HULL")


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        ({"sequence": "SKIN", "parts": PARTS[:1]}, "No product is named for laminate"),
        ({"sequence": "SKIN", "parts": [*PARTS, {"part": "keel", **LAM}]}, "keel is no part"),
        ({"sequence": "SKIN", "parts": [*PARTS, PARTS[0]]}, "face is named twice"),
        ({"sequence": "SKIN", "steps": STEPS[-1:]}, "A plan is of steps"),
        ({}, "A plan is of steps"),
        ({"steps": STEPS[-1:], "parts": PARTS}, "A plan is of steps"),
    ],
)
def test_a_plan_that_can_not_be_filled_in_is_refused(asked: dict[str, Any], words: str) -> None:
    """With what is missing or too much."""
    kept()
    with pytest.raises(errors.Invalid, match=words):
        planned(**asked)


@pytest.mark.parametrize(
    ("step", "lacks"),
    [({"kind": "cure", "work": 60}, "part"), ({"kind": "cure", "part": "ply"}, "work"),
     ({"kind": "work"}, "work"), ({"kind": "wait", "work": 60}, "wait")],
)  # fmt: skip
def test_a_step_that_lacks_something_is_not_kept(
    books: Database, step: dict[str, Any], lacks: str
) -> None:
    """Nothing is kept, and the place is said."""
    before = yard.contents(books)
    with pytest.raises(errors.Invalid, match=f"has no {lacks}") as told:
        kept(steps=[STEPS[0], {"title": "Next", **step}])
    assert told.value.pointer == f"/steps/1/{lacks}"
    assert yard.contents(books) == before


def test_no_such_sequence() -> None:
    """Is a reference to nothing."""
    with pytest.raises(errors.UnknownReference):
        planned(sequence="HULL", parts=PARTS)
