"""Of the signs of a layup, the one that counts most, and those that a hand has seen."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol, TypeVar

from .signs import TROUBLE, Sign
from .touch import HARD, SET

_ORDER: tuple[Sign, ...] = (
    "unsettled", "suspect", "cold_stalled", "late", "finished", "not_laid", "wet",
    "recoat_open", "recoat_touch", "handling_cure", "sandable",
)  # fmt: skip
"""Signs in the order in which one goes before another."""
_SEEN_BY: dict[Sign, tuple[str, ...]] = {
    "wet": ("not_gelled",), "gelling": ("not_gelled",), "cold_stalled": ("not_gelled",),
    "gelled": SET, "recoat_touch": SET,
    "recoat_past": SET, "tacky": SET, "recoat_open": ("no_transfer", "green"),
    "sandable": (*HARD, "sanded"), "finished": SET, "not_laid": SET,
}  # fmt: skip
"""Sign → the words of a hand that show it."""


class Look(Protocol):
    """What a hand found: its kind, and when (epoch s)."""

    @property
    def kind(self) -> str:
        """A word of `touch`."""

    @property
    def at(self) -> float:
        """The moment."""


SomeLook = TypeVar("SomeLook", bound=Look)


def order(sign: Sign) -> int:
    """The place of a sign among those that one row has room for one of."""
    return _ORDER.index(sign) if sign in _ORDER else len(_ORDER)


def foremost(signs: Sequence[Sign]) -> Sign:
    """The sign that counts most; wet until it has surely gelled."""
    for sign in _ORDER:
        if sign in signs:
            return sign
    if "recoat_past" in signs:
        return "tacky" if "tacky" in signs else "recoat_past"
    return "gelled" if "gelled" in signs else "wet"


def standing(looks: Sequence[SomeLook]) -> list[SomeLook]:
    """The looks that still hold, in the order of time: 'not gelled' cancels every earlier one."""
    wet = [number for number, look in enumerate(looks) if look.kind == "not_gelled"]
    return list(looks[wet[-1] :] if wet else looks)


def is_seen(sign: Sign, looks: Sequence[Look], cured: float | None) -> bool:
    """Whether a hand has found a layup so; else its sign is a forecast.

    Args:
        looks: those that still hold. cured: when it is cured at the latest, epoch s, or None.
    """
    if sign in TROUBLE - {"cold_stalled"}:
        return True
    if sign == "handling_cure":
        hard = [look.at for look in looks if look.kind in HARD]
        return cured is not None and any(at >= cured for at in hard)
    return any(look.kind in _SEEN_BY.get(sign, ()) for look in looks)
