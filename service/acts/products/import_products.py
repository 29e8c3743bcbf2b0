"""Import a row of the catalogue: add the product, or check that it is the same as the row."""

from __future__ import annotations

from ...core.errors import AlreadyExists, Refusals
from ...store.products import find_product
from ...store.yard.hands import Hand
from ..yard.imports import Facts
from .product import add_product, differing


def import_product(facts: Facts, *, now: int, hand: Hand) -> str | None:
    """Add a product, unless the catalogue has it.

    Args:
        facts: as `add_product` takes them.

    Returns:
        Its code, its name and what to add to it later, if it was added; else None.

    Raises:
        AlreadyExists: the catalogue has it, and it differs from the row. As `add_product`.
    """
    row = find_product(facts["code"])
    if row is None:
        added = add_product(**facts, now=now, hand=hand)
        asked = ", no shelf life known" if added.warnings else ""
        return f"{added.code} {added.name}{asked}"
    others = {name: value for name, value in facts.items() if name != "code"}
    wrong = [_differs(row.code, name) for name in differing(row, others)]
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
