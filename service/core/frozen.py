"""A data class whose values nothing changes, quick to define.

The standard library compiles six methods for each `dataclass(frozen=True)`: a tenth of what an
embedded command takes. `frozen` leaves it one, `__init__`; the rest are the functions below, the
same for all classes. `fields`, `replace` and `asdict` work as ever. An assignment is refused by the
type checker, not by the running program.
"""

from __future__ import annotations

from dataclasses import dataclass, field, fields
from operator import attrgetter
from typing import Any, TypeVar, dataclass_transform

_T = TypeVar("_T")


@dataclass_transform(frozen_default=True, field_specifiers=(field,))
def frozen(cls: type[_T]) -> type[_T]:
    """`cls` as a data class that compares, hashes and shows itself by its fields."""
    made = dataclass(repr=False, eq=False, match_args=False)(cls)
    every = fields(made)  # type: ignore[arg-type]
    compared = [each.name for each in every if each.compare]
    hashed = [each.name for each in every if (each.compare if each.hash is None else each.hash)]
    for name, method in (
        ("_compared", attrgetter("__class__", *compared)),
        ("_hashed", attrgetter("__class__", *hashed)),
        ("__eq__", _equal),
        ("__hash__", _hash),
        ("__repr__", _show),
    ):
        if made.__dict__.get(name) is None:  # what the class says of itself holds
            setattr(made, name, method)
    return made


def _equal(self: object, other: object) -> Any:
    if other.__class__ is not self.__class__:
        return NotImplemented
    return self._compared(self) == self._compared(other)  # type: ignore[attr-defined]


def _hash(self: object) -> int:
    return hash(self._hashed(self))  # type: ignore[attr-defined]


def _show(self: object) -> str:
    shown = (f"{each.name}={getattr(self, each.name)!r}" for each in fields(self) if each.repr)  # type: ignore[arg-type]
    return f"{type(self).__qualname__}({', '.join(shown)})"
