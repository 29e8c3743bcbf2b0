"""A list as a page: so many things at a time, and a link to the next ones."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, TypeVar

from flask import request
from marshmallow import ValidationError

from ...core.errors import Invalid
from .. import fields
from ..context.request import units
from ..fields.messages import refuse
from ..http import paging

Find = Callable[[int | None, int], Sequence[Any]]
Choice = TypeVar("Choice", bound=str)


def listed(find: Find, *filters: str) -> paging.Listed:
    """One page of a list, as `paging.page` has it.

    Args:
        filters: names by which the address may narrow the list.

    Raises:
        Invalid: `after` in the address is not the `next` of a page, or a name is unknown.
    """
    _known(*filters)
    asked = {"after": request.args["after"]} if request.args.get("after") else {}
    try:
        query = paging.Page().load(asked)
    except ValidationError as error:
        refuse(error.messages_dict, pointed=False)
    units()  # no page is half shown in units that there are not
    return paging.page(query, find)


def chosen(name: str, choices: Sequence[Choice]) -> Choice | None:
    """The choice that the address names; None where it names none.

    Raises:
        Invalid: it names something else.
    """
    asked = request.args.get(name)
    if not asked:
        return None
    try:
        found: Choice = fields.Choice(choices).deserialize(asked)
    except ValidationError as error:
        refuse({name: error.messages}, pointed=False)
    return found


def _known(*filters: str) -> None:
    """A mistyped filter must not look like one that found everything.

    Raises:
        Invalid: the address has another name.
    """
    for name in request.args:
        if name not in (*filters, "after", "units"):
            raise Invalid(
                f"Unknown name in the address: {name[:64]!r}.",
                advice=f"Names here: {', '.join(sorted((*filters, 'after', 'units')))}.",
                parameter=name[:64],
            )
