"""A plugin of mypy: no `Words` in an f-string, in `format` or in `str`.

Words with amounts can't be turned into a string before somebody is shown them: `Words` raises when
it is tried. mypy alone finds no fault, since everything has `__format__`.
"""

from __future__ import annotations

from collections.abc import Callable

from mypy.errorcodes import ErrorCode
from mypy.plugin import FunctionContext, MethodContext, Plugin
from mypy.types import Instance, Type, UnionType, get_proper_type

WORDS = "core.words.Words"
CODE = ErrorCode("words", "Words in a string", "General")


class WordsPlugin(Plugin):
    """Looks at what becomes a string. mypy takes an f-string as a call of `str.format`."""

    def get_method_hook(self, fullname: str) -> Callable[[MethodContext], Type] | None:
        """Each `format`, each f-string."""
        return _looked_at if fullname == "builtins.str.format" else None

    def get_function_hook(self, fullname: str) -> Callable[[FunctionContext], Type] | None:
        """Each `str(...)` and `format(...)`."""
        return _looked_at if fullname in ("builtins.str", "builtins.format") else None


def plugin(_version: str) -> type[WordsPlugin]:
    """What mypy asks for."""
    return WordsPlugin


def _looked_at(context: FunctionContext | MethodContext) -> Type:
    for types, arguments in zip(context.arg_types, context.args, strict=True):
        for kind, argument in zip(types, arguments, strict=True):
            if _has_words(kind):
                context.api.fail(
                    "Words in a string: put them together by 'say'", argument, code=CODE
                )
    return context.default_return_type


def _has_words(kind: Type) -> bool:
    kind = get_proper_type(kind)
    if isinstance(kind, UnionType):
        return any(map(_has_words, kind.items))
    if not isinstance(kind, Instance):
        return False
    return kind.type.fullname.endswith(WORDS) or any(map(_has_words, kind.args))
