"""Schemas of answers, made from the views of the acts: no name of an answer is written twice."""

from __future__ import annotations

import re
from dataclasses import fields as fields_of
from dataclasses import is_dataclass
from datetime import date, time
from decimal import Decimal
from functools import cache
from types import UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin, get_type_hints

from ...core.amounts.quantities import Kind
from ...core.amounts.views import Again, At, IsCode, OneOf, RowId, Says
from .amounts import AnyQuantity, AskedAgain, Quantity
from .base import Field
from .plain import Choice, Code, Flag, Integer, List, Nested, Number, Text
from .schemas import Answer
from .times import Day, Moment, TimeOfDay

_PLAIN: dict[Any, type[Field]] = {
    int: Integer, float: Number, Decimal: Number, str: Text, bool: Flag, date: Day, time: TimeOfDay,
}  # fmt: skip


@cache
def answer(view: type) -> type[Answer]:
    """The schema of a view, named as it is but for `Out` in the place of `View` at its end."""
    shape = {name: _field(hint, required=True) for name, hint in _shown(view).items()}
    return _named(view, shape)


@cache
def one_of(*views: type) -> type[Answer]:
    """The schema of several views of one base: it has that one's name, and all their values.

    A value that not all of them have is not required.
    """
    every = [_shown(view) for view in views]
    shape = {
        name: _field(hint, required=all(name in each for each in every))
        for shown in every
        for name, hint in shown.items()
    }
    return _named(views[0].__bases__[0], shape)


def _shown(view: type) -> dict[str, Any]:
    """Name → annotation of what an answer shows."""
    hints = get_type_hints(view, include_extras=True)
    names = [each.name for each in fields_of(view)]
    return {name: hints[name] for name in names if hints[name] != RowId}


def _named(view: type, shape: dict[str, Any]) -> type[Answer]:
    name = re.sub("View$", "Out", view.__name__)
    return type(name, (Answer,), shape | {"__doc__": view.__doc__})


def _field(hint: Any, **options: Any) -> Field:
    """The field of an annotation."""
    if get_origin(hint) is Annotated:
        inner, *marks = get_args(hint)
        for said in (mark for mark in marks if isinstance(mark, Says)):
            options["metadata"] = {"description": said.text}
        for mark in (mark for mark in marks if not isinstance(mark, Says)):
            return _marked(mark, _may_lack(inner), **options)
        return _field(inner, **options)
    if _may_lack(hint):
        (inner,) = (each for each in get_args(hint) if each is not type(None))
        return _field(inner, allow_none=True, **options)
    if get_origin(hint) is UnionType:
        return Nested(one_of(*get_args(hint)), **options)
    if get_origin(hint) is Literal:
        return Choice(get_args(hint), **options)
    if get_origin(hint) in (list, tuple):
        return List(_field(get_args(hint)[0]), **options)
    if is_dataclass(hint):
        return Nested(answer(hint), **options)  # type: ignore[arg-type]
    return _PLAIN[hint](**options)


def _marked(mark: Any, may_lack: bool, **options: Any) -> Field:
    """The field of what stands beside a type."""
    if may_lack:
        options["allow_none"] = True
    if isinstance(mark, Kind):
        return Quantity(mark, **options)
    if isinstance(mark, At):
        return Moment(rounding=mark.rounding, **options)
    if isinstance(mark, Again):
        return AskedAgain(mark.kinds, **options)
    if isinstance(mark, OneOf):
        return Choice(mark.words, **options)
    if isinstance(mark, IsCode):
        return Code(**options)
    return AnyQuantity(mark, **options)


def _may_lack(hint: Any) -> bool:
    return get_origin(hint) in (Union, UnionType) and type(None) in get_args(hint)
