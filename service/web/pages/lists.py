"""A list as a page: so many things at a time, and a link to the next ones."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, TypeVar

from flask import request
from marshmallow import ValidationError

from ..context.request import units
from ..fields.messages import refuse
from ..http import paging

Find = Callable[[int | None, int], Sequence[Any]]
Choice = TypeVar("Choice", bound=str)


def listed(find: Find) -> paging.Listed:
    """One page of a list, as `paging.page` has it.

    Raises:
        Invalid: `after` in the address is not the `next` of a page.
    """
    asked = {"after": request.args["after"]} if request.args.get("after") else {}
    try:
        query = paging.Page().load(asked)
    except ValidationError as error:
        refuse(error.messages_dict, pointed=False)
    units()  # no page is half shown in units that there are not
    return paging.page(query, find)


def chosen(name: str, choices: Sequence[Choice]) -> Choice | None:
    """The choice that the address names; None where it names none of them."""
    asked = request.args.get(name)
    return next((choice for choice in choices if choice == asked), None)
