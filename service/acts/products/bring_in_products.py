"""Bring in a row of the catalogue: a product that is new, or stands as the row says."""

from __future__ import annotations

from typing import Any

from ...core.errors import AlreadyExists, Refusals
from ...store.products import find_product
from ...store.yard.hands import Hand
from . import product as add_product


def bring_in_product(facts: dict[str, Any], *, now: int, hand: Hand) -> str | None:
    """Add a product, unless it is there.

    Args:
        facts: as `add_product.add_product` takes them.

    Returns:
        Its code and name if it was added, and what is wanted of it still.

    Raises:
        AlreadyExists: it is there, and differs from the row. As `add_product.add_product`.
    """
    row = find_product(facts["code"])
    if row is None:
        told = add_product.add_product(**facts, now=now, hand=hand)
        asked = ", no shelf life known" if told["warnings"] else ""
        return f"{facts['code']} {facts['name']}{asked}"
    others = {name: value for name, value in facts.items() if name != "code"}
    wrong = [_differs(row.code, name) for name in add_product.differing(row, others)]
    if wrong:
        raise Refusals(list(wrong))
    return None


def _differs(code: str, name: str) -> AlreadyExists:
    said = name.replace("_", " ")
    return AlreadyExists(
        f"{code} is in the catalogue with another {said}.",
        advice="A table only adds products: change the product itself, or correct the table.",
        pointer=f"/{name}",
    )
