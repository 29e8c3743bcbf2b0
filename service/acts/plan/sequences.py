"""Sequences: steps that are kept by name, with a part in the place of each product.

What is laid in the same order boat after boat is typed once. A plan names the product of each part.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import Annotated, Any, Literal, get_args

from ...core.amounts.quantities import TIME
from ...core.amounts.views import Code, Moment, RowId, View
from ...core.errors import Invalid, NotFound, UnknownReference
from ...core.frozen import frozen
from ...store import plan as store
from ...store.engine.database import writing
from ...store.plan import Sequence as Row
from ...store.yard.hands import Hand

Kind = Literal["cure", "work", "wait"]
KINDS: tuple[Kind, ...] = get_args(Kind)
_NEEDS: Mapping[str, tuple[str, ...]] = {
    "cure": ("part", "work"), "work": ("work",), "wait": ("wait",),
}  # fmt: skip
"""What a step of each kind must have."""
TIMES = ("work", "abrade", "wait")


@frozen
class SequenceStepView(View):
    """A step of a sequence; one that cures has a part, whose product a plan names."""

    title: str
    kind: Kind
    part: str | None
    work: Annotated[int | None, TIME]
    abrade: Annotated[int | None, TIME]
    wait: Annotated[int | None, TIME]


@frozen
class SequenceView(View):
    """Steps that are kept by name, and the parts whose products are open."""

    id: RowId
    name: Code
    steps: list[SequenceStepView]
    parts: list[str]
    who: str
    verified: bool
    recorded_at: Moment


def keep_sequence(
    *, name: str, steps: Sequence[Mapping[str, Any]], now: int, hand: Hand
) -> SequenceView:
    """Keep steps by a name; those that had the name before count no longer.

    Args:
        steps: in their order, each with a `title`, its `kind`, and what `_NEEDS` says; times in s.

    Raises: Invalid: a step lacks something.
    """
    kept = [_step(step, f"/steps/{number}") for number, step in enumerate(steps)]
    with writing():
        return _show(store.keep_sequence(name, json.dumps(kept), now=now, hand=hand))


def list_sequences(after: int | None, limit: int) -> list[SequenceView]:
    """The sequences, the last kept first, after the one with that id."""
    return [_show(row) for row in store.sequences(after, limit)]


def show_sequence(name: str) -> SequenceView:
    """One sequence.

    Raises: NotFound.
    """
    row = store.find_sequence(name)
    if row is None:
        raise NotFound(f"There is no sequence {name}.", advice="List the sequences.")
    return _show(row)


def planned(name: str, products: Sequence[Mapping[str, Any]]) -> list[dict[str, Any]]:
    """The steps of a sequence as a plan takes them.

    Args:
        products: for each part its `product`, and perhaps `catalyst` and `catalyst_percent`.

    Raises:
        UnknownReference: no such sequence. Invalid: a part without a product, named twice, or
            that the sequence does not have.
    """
    row = store.find_sequence(name)
    if row is None:
        raise UnknownReference(
            f"There is no sequence {name}.", advice="List the sequences.", pointer="/sequence"
        )
    shown = _show(row)
    given = _by_part(shown, products)
    return [_with(step, given) for step in json.loads(row.steps)]


def _by_part(
    shown: SequenceView, products: Sequence[Mapping[str, Any]]
) -> dict[str, Mapping[str, Any]]:
    known = {part.casefold(): part for part in shown.parts}
    found: dict[str, Mapping[str, Any]] = {}
    for number, each in enumerate(products):
        key = each["part"].casefold()
        if key not in known or key in found:
            wrong = "named twice" if key in found else f"no part of {shown.name}"
            raise Invalid(
                f"{each['part']} is {wrong}.",
                advice=f"Its parts are: {', '.join(shown.parts) or 'none'}.",
                pointer=f"/parts/{number}/part",
            )
        found[key] = {name: value for name, value in each.items() if name != "part"}
    missing = [part for key, part in known.items() if key not in found]
    if missing:
        raise Invalid(
            f"No product is named for {', '.join(missing)}.",
            advice="Name one for each part of the sequence.",
            pointer="/parts",
        )
    return found


def _with(step: Mapping[str, Any], given: Mapping[str, Mapping[str, Any]]) -> dict[str, Any]:
    own = {name: value for name, value in step.items() if name != "part"}
    return own | dict(given[step["part"].casefold()]) if "part" in step else own


def _step(step: Mapping[str, Any], pointer: str) -> dict[str, Any]:
    kind = step["kind"]
    for name in _NEEDS[kind]:
        if step.get(name) is None:
            raise Invalid(
                f"Step {step['title']} has no {name}.",
                advice=f"A step of kind '{kind}' needs: {', '.join(_NEEDS[kind])}.",
                pointer=f"{pointer}/{name}",
            )
    kept = {"title": step["title"], "kind": kind}
    kept |= {"part": step["part"]} if kind == "cure" else {}
    return kept | {name: round(step[name]) for name in TIMES if step.get(name) is not None}


def _show(row: Row) -> SequenceView:
    steps = json.loads(row.steps)
    parts = {step["part"].casefold(): step["part"] for step in reversed(steps) if "part" in step}
    return SequenceView(
        id=row.id,
        name=row.name,
        steps=[SequenceStepView.recalled(step) for step in steps],
        parts=list(reversed(parts.values())),
        who=row.who,
        verified=row.verified,
        recorded_at=row.recorded_at,
    )
