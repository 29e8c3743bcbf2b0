"""Turn marshmallow's messages into refusals, each with its place in the request."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, NoReturn

from ...core.errors import Invalid, Refusal, Refusals
from ...core.words import say

LONGEST_NAME = 64
"""Characters of a request's own names that an answer repeats."""

Path = tuple[str | int, ...]


def refuse(messages: Any, *, pointed: bool = True) -> NoReturn:
    """Raise what a schema found wrong: the one refusal, or all of several.

    Args:
        messages: marshmallow's tree of messages, each a text or a `Refusal`.
        pointed: whether they are about a JSON body, so that a pointer leads to their place.

    Raises:
        Refusal: always.
    """
    faults = found(messages, pointed=pointed)
    if len(faults) > 1:
        raise Refusals(faults)
    ((path, refusal),) = _walk(messages, ())
    if path:  # a single fault is shown without its pointer
        faults[0].detail = say("{}: {}", ".".join(_short(step) for step in path), refusal.detail)
    raise faults[0]


def found(messages: Any, *, pointed: bool = True) -> list[Refusal]:
    """What a schema found wrong, each refusal with its place. Arguments as `refuse`."""
    return [_placed(refusal, path, pointed) for path, refusal in _walk(messages, ())]


def pointer(path: Path) -> str:
    """An RFC 6901 JSON pointer: `("readings", 3, "at")` is `/readings/3/at`."""
    return "".join(f"/{_short(s).replace('~', '~0').replace('/', '~1')}" for s in path)


def _short(step: str | int) -> str:
    name = str(step)
    return name if len(name) <= LONGEST_NAME else name[:LONGEST_NAME] + "…"


def _walk(messages: Any, path: Path) -> Iterator[tuple[Path, Refusal]]:
    if isinstance(messages, Mapping):
        for name, inner in messages.items():
            yield from _walk(inner, path if name == "_schema" else (*path, name))
    elif isinstance(messages, list):
        for each in messages:
            yield from _walk(each, path)
    else:
        yield path, messages if isinstance(messages, Refusal) else Invalid(str(messages))


def _placed(refusal: Refusal, path: Path, pointed: bool) -> Refusal:
    """A copy with its place: every request shares a schema's own refusals."""
    where = {"pointer": pointer(path)} if pointed else {"parameter": pointer(path)[1:]}
    return type(refusal)(refusal.detail, advice=refusal.advice, **{**refusal.fields, **where})
