"""Schemas of answers, made from the views of the acts: no name of an answer is written twice."""

from __future__ import annotations

from dataclasses import fields as fields_of
from dataclasses import is_dataclass
from datetime import date, time
from decimal import Decimal
from functools import cache
from types import UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin, get_type_hints

from ...core.amounts.quantities import Kind
from ...core.amounts.views import At, IsCode, OneOf, Says
from .amounts import AnyQuantity, Quantity
from .base import Described, Field
from .plain import Choice, Code, Flag, Integer, List, Nested, Number, Text
from .schemas import Answer
from .times import Day, Moment, TimeOfDay

_PLAIN: dict[Any, type[Field]] = {
    int: Integer, float: Number, Decimal: Number, str: Text, bool: Flag, date: Day, time: TimeOfDay,
}  # fmt: skip


@cache
def answer(view: type) -> type[Answer]:
    """The schema of a view, named as it is with `Out` for `View`."""
    hints = get_type_hints(view, include_extras=True)
    shape: dict[str, Any] = {
        each.name: _field(hints[each.name], required=True) for each in fields_of(view)
    }
    shape["__doc__"] = view.__doc__
    return type(view.__name__.removesuffix("View") + "Out", (Answer,), shape)


def _field(hint: Any, **options: Any) -> Described:
    """The field of an annotation."""
    if get_origin(hint) is Annotated:
        inner, *marks = get_args(hint)
        for mark in marks:
            if isinstance(mark, Says):
                options["metadata"] = {"description": mark.text}
            else:
                return _marked(mark, _may_lack(inner), **options)
        return _field(inner, **options)
    if _may_lack(hint):
        (inner,) = (each for each in get_args(hint) if each is not type(None))
        return _field(inner, allow_none=True, **options)
    if get_origin(hint) is Literal:
        return Choice(get_args(hint), **options)
    if get_origin(hint) in (list, tuple):
        return List(_field(get_args(hint)[0]), **options)
    if is_dataclass(hint):
        view: Any = hint
        return Nested(answer(view), **options)
    return _PLAIN[hint](**options)


def _marked(mark: Any, may_lack: bool, **options: Any) -> Described:
    """The field of what stands beside a type."""
    if may_lack:
        options["allow_none"] = True
    if isinstance(mark, Kind):
        return Quantity(mark, **options)
    if isinstance(mark, At):
        return Moment(rounding=mark.rounding, **options)
    if isinstance(mark, OneOf):
        return Choice(mark.words, **options)
    if isinstance(mark, IsCode):
        return Code(**options)
    return AnyQuantity(mark, **options)


def _may_lack(hint: Any) -> bool:
    return get_origin(hint) in (Union, UnionType) and type(None) in get_args(hint)
