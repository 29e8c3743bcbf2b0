"""Why a band is as wide as it is, and which measurement would make it narrower.

The share of a part is by how much the squared width falls without it, scaled to 100 %. The width is
in ln(time).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from math import log
from types import MappingProxyType
from typing import TYPE_CHECKING, Literal, TypeAlias, get_args

from ..frozen import frozen
from ..products.budget import Parts

if TYPE_CHECKING:
    from .clocks import Doubt

Width: TypeAlias = "Callable[[Parts, Doubt], float | None]"
"""ln(latest / earliest) of a time by some parts of the budget; None where it may never come."""
Part = Literal[
    "temperature", "stage", "pair", "lot", "pot", "sheet", "filled", "energy", "order"
]  # fmt: skip
Measure = Literal["temperature", "cup"]

PARTS: tuple[Part, ...] = get_args(Part)
MEASURES: tuple[Measure, ...] = get_args(Measure)
CHECKED_K = 1.0
"""How well a checked thermometer knows a temperature (common practice, no source)."""
WORTH = 0.1
"""A measurement is offered that makes the band narrower by at least this share."""

_OF_BUDGET: Mapping[Part, tuple[str, ...]] = MappingProxyType(
    {
        "stage": ("stage", "follows"),
        "pair": ("pair",),
        "lot": ("lot",),
        "pot": ("pot",),
        "sheet": ("sheet",),
        "filled": ("filled",),
        "energy": ("energy",),
        "order": ("order",),
    }
)
"""The parts of the budget that each part of an answer stands for."""


@frozen
class Share:
    """A part of a band's width, in percent."""

    part: Part
    percent: float


@frozen
class Help:
    """A measurement, and by how many percent it makes the band narrower."""

    measure: Measure
    percent: float


def shares(width: Width, parts: Parts, doubt: Doubt) -> list[Share]:
    """The parts of a band by their shares, the greatest first; none where the band has no end."""
    whole = width(parts, doubt)
    if whole is None:
        return []
    fell = {"temperature": _fall(whole, width(parts, replace(doubt, measured=0.0, ahead=0.0)))}
    for name, fields in _OF_BUDGET.items():
        fell[name] = _fall(whole, width(parts.without(*fields), doubt))
    total = sum(fell.values()) or 1.0
    found = [Share(part, 100 * fell[part] / total) for part in PARTS if fell[part] > 0]
    return sorted(found, key=lambda share: -share.percent)


def would_help(width: Width, cupped: Width | None, parts: Parts, doubt: Doubt) -> list[Help]:
    """What could be measured, the most useful first.

    Args:
        width: as things are. cupped: as if the lot had been tested in one cup; None where no cup
            can tell more.
    """
    whole = width(parts, doubt)
    if not whole:
        return []
    kelvins = min(doubt.measured, CHECKED_K), min(doubt.ahead, CHECKED_K)
    tried = {"temperature": width(parts, replace(doubt, measured=kelvins[0], ahead=kelvins[1]))}
    if cupped is not None:
        tried["cup"] = cupped(parts, doubt)
    gains = [(name, 1 - left / whole) for name in MEASURES if (left := tried.get(name)) is not None]
    found = [Help(name, 100 * gain) for name, gain in gains if gain >= WORTH]
    return sorted(found, key=lambda gain: -gain.percent)


def ratio(since: float, earliest: float | None, latest: float | None) -> float | None:
    """ln of the latest over the earliest time since a moment (epoch s); None without an end."""
    if earliest is None or latest is None or earliest <= since:
        return None
    return log((latest - since) / (earliest - since))


def _fall(whole: float, left: float | None) -> float:
    return 0.0 if left is None else max(whole**2 - left**2, 0.0)
