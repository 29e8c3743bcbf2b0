"""Of the signs of a layup, the one that a row shows, and those that a hand has seen."""

from __future__ import annotations

from collections.abc import Sequence

from .signs import TROUBLE, Sign
from .touch import Touch

_ORDER: tuple[Sign, ...] = (
    "unsettled", "suspect", "cold_stalled", "late", "finished", "not_laid", "wet",
    "recoat_open", "recoat_touch", "handling_cure", "sandable", "cured_through", "skinned",
)  # fmt: skip
"""Signs in the order in which one goes before another."""


def order(sign: Sign) -> int:
    """The rank of a sign; a row shows only the first."""
    return _ORDER.index(sign) if sign in _ORDER else len(_ORDER)


def foremost(signs: Sequence[Sign]) -> Sign:
    """The sign that a row shows; wet until it has surely gelled."""
    for sign in _ORDER:
        if sign in signs:
            return sign
    if "recoat_past" in signs:
        return "tacky" if "tacky" in signs else "recoat_past"
    return "gelled" if "gelled" in signs else "wet"


def is_seen(sign: Sign, touch: Touch, cured: float | None) -> bool:
    """Whether a hand has found a layup so; else its sign is a forecast.

    Args:
        touch: what still holds of what hands found. cured: when it is cured at the latest, epoch
            s, or None.
    """
    if sign in TROUBLE - {"cold_stalled"}:
        return True
    if sign in ("wet", "gelling", "cold_stalled"):
        return touch.not_gelled is not None
    if sign == "recoat_open":
        return touch.felt
    if sign == "cured_through":
        return touch.hard is not None
    if sign == "sandable":
        return touch.sandable is not None
    if sign == "handling_cure":
        return cured is not None and any(at >= cured for at in touch.checks)
    return touch.is_set
