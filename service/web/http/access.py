"""How each method of a resource may be used: who, whether it writes, what its query may say.

`reads`, `writes` or `storeless` stands between `arguments` and `response` of a method, so that the
body is read before the store is locked, and the answer is made before it is let go.
A method without any of them does not start (see `blueprint`).
"""

from __future__ import annotations

from collections.abc import Callable
from copy import deepcopy
from dataclasses import dataclass, replace
from functools import partial, wraps
from typing import Any, TypeVar

from ...store.engine.database import reading, writing
from ...store.yard.hands import Role
from . import keys

View = TypeVar("View", bound=Callable[..., Any])


@dataclass(frozen=True)
class Access:
    """How a method may be used.

    Attributes:
        role: the least role that may; None for anybody, known or not.
        writes: whether it changes the store.
        versioned: whether it must say, in If-Match, which version it changes.
        keyed: whether it is done once for an idempotency key.
        query: the names that its query may have.
    """

    role: Role | None
    writes: bool = False
    versioned: bool = False
    keyed: bool = False
    query: frozenset[str] = frozenset({"units"})


def reads(*, role: Role = "viewer") -> Callable[[View], View]:
    """A method that only looks: it sees one state of the store throughout."""

    def decorate(view: View) -> View:
        @wraps(view)
        def looked(*args: Any, **kwargs: Any) -> Any:
            with reading():
                return view(*args, **kwargs)

        return _marked(looked, view, Access(role))

    return decorate


def writes(
    *, role: Role = "hand", versioned: bool = False, keyed: bool = True
) -> Callable[[View], View]:
    """A method that changes the store: one transaction, done once for an idempotency key.

    Args:
        role: the least role that may.
        versioned: whether If-Match is needed; the method itself calls `versions.match`.
        keyed: whether its answer is kept for a retry; never one that has a secret in it.
    """

    def decorate(view: View) -> View:
        @wraps(view)
        def acted(*args: Any, **kwargs: Any) -> Any:
            act = partial(view, *args, **kwargs)
            if keyed:
                return keys.once(act)
            with writing():
                return act()

        return _marked(acted, view, Access(role, writes=True, versioned=versioned, keyed=keyed))

    return decorate


def storeless() -> Callable[[View], View]:
    """A method that tells nothing of what is in the store, and so is for anybody."""

    def decorate(view: View) -> View:
        @wraps(view)
        def answered(*args: Any, **kwargs: Any) -> Any:
            return view(*args, **kwargs)

        return _marked(answered, view, Access(None, query=frozenset()))

    return decorate


def access_of(method: object) -> Access | None:
    """How a resource's method may be used; None for one that says nothing."""
    return getattr(method, "_apidoc", {}).get("access")


def with_query(access: Access, names: frozenset[str]) -> Access:
    """The same, for a query that may also have these names."""
    return replace(access, query=access.query | names)


def _marked(wrapper: Any, view: Any, access: Access) -> Any:
    doc = deepcopy(getattr(view, "_apidoc", {}))
    if "response" not in doc:
        raise TypeError(f"{view.__qualname__}: its response stands under its reads or writes.")
    wrapper._apidoc = {**doc, "access": access}
    return wrapper
