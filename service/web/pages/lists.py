"""A list of the yard's things as a page: so many at a time, and the way to the next ones."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, TypeVar

from flask import request
from marshmallow import ValidationError

from ..context.request import units
from ..http import paging
from ..problems import schema_faults as faults

Find = Callable[[int | None, int], Sequence[Any]]
Choice = TypeVar("Choice", bound=str)


def listed(find: Find) -> dict[str, Any]:
    """One page of a list, as `paging.page` has it.

    Raises:
        Invalid: the address does not say where a page goes on.
    """
    asked = {"after": request.args["after"]} if request.args.get("after") else {}
    try:
        query = paging.Page().load(asked)
    except ValidationError as error:
        faults.refuse(error.normalized_messages(), pointed=False)
    units()  # no page is half shown in units that there are not
    return paging.page(query, find)


def chosen(name: str, choices: Sequence[Choice]) -> Choice | None:
    """The choice that the address names; None where it names none of them."""
    asked = request.args.get(name)
    return next((choice for choice in choices if choice == asked), None)
