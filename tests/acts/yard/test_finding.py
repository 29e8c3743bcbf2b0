"""What a request names and the store has not: refused, with what may have been meant."""

from __future__ import annotations

import pytest
from cureyard_service.acts.yard import finding
from cureyard_service.core.errors import NotFound, UnknownReference
from cureyard_service.store import tables
from peewee import Database


@pytest.mark.parametrize("noun", ["product", "bay", "job"])
def test_a_slip(books: Database, noun: str) -> None:
    """One letter too many; in the address it is not found, in the body an unknown reference."""
    model, column = {
        "product": (tables.Product, "code"), "bay": (tables.Bay, "code"),
        "job": (tables.Job, "number"),
    }[noun]  # fmt: skip
    name = getattr(model.select().first(), column)
    find = getattr(finding, noun)
    assert getattr(find(name.swapcase()), column) == name
    with pytest.raises(NotFound) as caught:
        find(f"{name}x")
    assert name in caught.value.advice
    assert caught.value.advice.startswith("Did you mean ")
    with pytest.raises(UnknownReference) as pointed:
        find(f"{name}x", "/there")
    assert pointed.value.pointer == "/there"


def test_nothing_near(books: Database) -> None:
    """Then what to do about it."""
    with pytest.raises(NotFound) as caught:
        finding.product("qqqqqq")
    assert caught.value.advice == "Add it, or check its code."
