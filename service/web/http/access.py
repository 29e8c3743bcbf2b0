"""How each method of a resource may be used: by whom, whether it writes, what its query may say.

`reads`, `writes` or `storeless` stands between `arguments` and `response` of a method: so the body
is read before the store is locked, and the answer is made before the lock is released. A method
without any of them does not start (see `blueprint`).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from contextlib import nullcontext
from dataclasses import field
from functools import partial, wraps
from typing import Any

from flask import Response

from ...core.frozen import frozen
from ...store.engine.database import reading, writing
from ...store.engine.turns import Turn
from ...store.yard.hands import Role
from ..fields.schemas import JsonSchema

Method = Callable[..., Response]
"""A method of a resource, from its `response` outwards."""

_MARK = "cureyard_access"
"""The attribute of a method that holds its access: decorators copy it outwards, as `wraps` does."""


@frozen
class Access:
    """How a method may be used.

    Attributes:
        role: the lowest role that may; None for anybody, known or not.
        writes: whether it changes the store.
        versioned: whether it must say, in If-Match, which version it changes.
        keyed: whether it is done once for an idempotency key.
        tables: whether its body may also come as text/csv.
        texts: other media types that its body may have: the JSON Schema of each.
        sensor: whether a sensor may, although it may nothing else.
        pictures: whether its body is a photograph.
        by_pass: whether a browser may ask by its pass, as a page of this service does.
        most: of the form of a page, its most bytes.
        query: the names that its query may have.
    """

    role: Role | None
    writes: bool = False
    versioned: bool = False
    keyed: bool = False
    tables: bool = False
    texts: Mapping[str, JsonSchema] = field(default_factory=dict)
    sensor: bool = False
    pictures: bool = False
    by_pass: bool = False
    most: int = 0
    query: frozenset[str] = frozenset({"units"})


def reads(
    *, role: Role = "viewer", by_pass: bool = False, in_pages: bool = False
) -> Callable[[Method], Method]:
    """A method that only reads: it sees one state of the store throughout.

    Args:
        role: the lowest role that may.
        by_pass: whether a browser's pass will do, where a page can send no header.
        in_pages: whether its answer goes on being read after it returned; then it sees to that
            state itself, and holds it no longer than a page needs.
    """

    def decorate(method: Method) -> Method:
        @wraps(method)
        def looked(*args: Any, **kwargs: Any) -> Response:
            with nullcontext() if in_pages else reading():
                return method(*args, **kwargs)

        return marked(looked, Access(role, by_pass=by_pass))

    return decorate


def writes(
    *,
    role: Role = "hand",
    versioned: bool = False,
    keyed: bool = True,
    sensor: bool = False,
    shown_once: str | None = None,
    by_itself: bool = False,
    turn: Turn = Turn.ALONE,
) -> Callable[[Method], Method]:
    """A method that changes the store: one transaction, done once for an idempotency key.

    Args:
        role: the lowest role that may.
        versioned: whether If-Match is needed; the method itself calls `versions.match`.
        keyed: whether its answer is kept for a retry.
        sensor: whether a sensor may too.
        shown_once: the field of the answer that is a secret, and so is kept nowhere.
        by_itself: whether it begins its transaction itself, as a trial is none; never with a key.
        turn: how it has the yard.
    """

    def decorate(method: Method) -> Method:
        @wraps(method)
        def acted(*args: Any, **kwargs: Any) -> Response:
            act = partial(method, *args, **kwargs)
            if keyed:
                from . import keys  # late: who only reads sends no key

                return keys.once(act, shown_once=shown_once, turn=turn)
            with nullcontext() if by_itself else writing(turn):
                return act()

        access = Access(role, writes=True, versioned=versioned, keyed=keyed, sensor=sensor)
        return marked(acted, access)

    return decorate


def storeless() -> Callable[[Method], Method]:
    """A method that tells nothing of the store, and so is open to anybody."""

    def decorate(method: Method) -> Method:
        @wraps(method)
        def answered(*args: Any, **kwargs: Any) -> Response:
            return method(*args, **kwargs)

        return marked(answered, Access(None, query=frozenset()))

    return decorate


def access_of(method: object) -> Access | None:
    """How a resource's method may be used; None for one that does not say."""
    return getattr(method, _MARK, None)


def marked(method: Method, access: Access) -> Method:
    """A method that says how it may be used."""
    setattr(method, _MARK, access)
    return method
