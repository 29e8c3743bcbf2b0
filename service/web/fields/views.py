"""Schemas of answers, made from the views of the acts: no name of an answer is written twice."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import fields as fields_of
from dataclasses import is_dataclass
from datetime import date, time
from decimal import Decimal
from functools import cache
from types import UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin, get_type_hints

from ...core.amounts.quantities import Kind
from ...core.amounts.views import Again, At, Called, IsCode, LeftOut, OneOf, Says, Steady, Unshown
from ...core.words import Words
from .amounts import AnyQuantity, AskedAgain, Quantity
from .base import Described, Field
from .plain import Choice, Code, Flag, Integer, List, Nested, Number, SteadyList, Text
from .schemas import Answer
from .times import Day, Moment, TimeOfDay

_PLAIN: dict[Any, type[Field]] = {
    int: Integer, float: Number, Decimal: Number, str: Text, bool: Flag, date: Day, time: TimeOfDay,
}  # fmt: skip

_BY_MARK: dict[type, Callable[[Any, dict[str, Any]], Described]] = {
    Kind: lambda kind, options: Quantity(kind, **options),
    tuple: lambda kinds, options: AnyQuantity(kinds, **options),
    At: lambda at, options: Moment(rounding=at.rounding, **options),
    OneOf: lambda choice, options: Choice(choice.words, **options),
    IsCode: lambda _, options: Code(**options),
    Again: lambda again, options: AskedAgain(again.kinds, **options),
}
"""The field that a mark beside a type asks for, whatever the type is."""


@cache
def answer(*views: type) -> type[Answer]:
    """The schema of a view, named as it is with `Out` for `View`.

    Args:
        views: one; or several with a common base, any of which may be shown. The schema is then
            named as the base, and a field that only some have is left out of the others.
    """
    hints = {view: get_type_hints(view, include_extras=True) for view in views}
    shape: dict[str, Any] = {}
    for view in views:
        for name in (each.name for each in fields_of(view)):
            if not _is_unshown(hints[view][name]):
                required = all(name in others for others in hints.values())
                shape.setdefault(name, _field(hints[view][name], required=required))
    named = views[0] if len(views) == 1 else views[0].__bases__[0]
    left_out = {name: left for view in views for name, left in _left_out(hints[view]).items()}
    more = {"__doc__": named.__doc__, "left_out": left_out}
    return type(re.sub("View$", "Out", named.__name__), (Answer,), shape | more)


@cache
def _answer_by_word(words: Any, view: type) -> type[Answer]:
    """The schema of a view for each of some words, any of which may be left out."""
    shape = {word: Nested(answer(view)) for word in get_args(words)}
    return type(re.sub("View$", "sOut", view.__name__), (Answer,), shape)


def _field(hint: Any, **options: Any) -> Described:
    """The field of an annotation."""
    if get_origin(hint) is Annotated:
        inner, *marks = get_args(hint)
        return _marked(inner, marks, **options)
    if get_origin(hint) in (Union, UnionType):
        return _one_of(get_args(hint), **options)
    if get_origin(hint) is Literal:
        return Choice(get_args(hint), **options)
    if get_origin(hint) in (list, tuple):
        return List(_field(get_args(hint)[0]), **options)
    if get_origin(hint) is Mapping:
        return Nested(_answer_by_word(*get_args(hint)), **options)
    if is_dataclass(hint):
        view: Any = hint
        return Nested(answer(view), **options)
    return _PLAIN[hint](**options)


def _one_of(hints: Sequence[Any], **options: Any) -> Described:
    """The field of something that may be None, of one of some views, or of both."""
    kinds = [hint for hint in hints if hint not in (type(None), Words)]
    if type(None) in hints:
        options["allow_none"] = True
    if len(kinds) == 1:
        return _field(kinds[0], **options)
    return Nested(answer(*kinds), **options)


def _marked(inner: Any, marks: Sequence[Any], **options: Any) -> Described:
    """The field of a type with marks beside it."""
    for mark in marks:
        if isinstance(mark, Says):
            options["metadata"] = {"description": mark.text}
        if isinstance(mark, Called):
            options["data_key"] = mark.name
        if isinstance(mark, LeftOut):
            options["required"] = False
            inner = inner if mark.along_with else _without_none(inner)
    if get_origin(inner) in (Union, UnionType) and type(None) in get_args(inner):
        options["allow_none"] = True
    for mark in marks:
        if type(mark) in _BY_MARK:
            return _BY_MARK[type(mark)](mark, options)
        if isinstance(mark, Steady):
            return SteadyList(_field(get_args(inner)[0]), **options)
    return _field(inner, **options)


def _without_none(hint: Any) -> Any:
    """The one type that a hint has beside None."""
    (inner,) = (each for each in get_args(hint) if each is not type(None))
    return inner


def _left_out(hints: Mapping[str, Any]) -> dict[str, str]:
    """Name → the value that it is left out along with, which may be itself."""
    return {
        name: mark.along_with or name
        for name, hint in hints.items()
        for mark in getattr(hint, "__metadata__", ())
        if isinstance(mark, LeftOut)
    }


def _is_unshown(hint: Any) -> bool:
    return get_origin(hint) is Annotated and any(isinstance(m, Unshown) for m in get_args(hint)[1:])
