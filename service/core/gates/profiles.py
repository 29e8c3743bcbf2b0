"""Profiles of quality gates: one TOML file each, read once; every threshold has its unit."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from importlib.resources import files
from types import MappingProxyType
from typing import Any

from ..amounts import quantities
from ..amounts.quantities import AREAL_WEIGHT, DIFFERENCE, TEMPERATURE, TIME, Kind
from ..frozen import frozen
from .judged import BEFORE, VERDICTS, Rule

PROFILES = ("plain", "class")
"""The first is the default."""

LIMITS: Mapping[str, Mapping[str, Kind | None]] = MappingProxyType(
    {
        "authority": {},
        "shop-warm": {"least": TEMPERATURE},
        "shop-steady": {"swing": DIFFERENCE},
        "humidity": {"most_percent": None, "least_spraying_percent": None},
        "rolls-rested": {"least": TIME, "warmer": DIFFERENCE},
        "resin-warm": {"least": TEMPERATURE},
        "stored-apart": {},
        "dry": {
            "over_percent": None, "apart": TIME, "apart_heated": TIME, "film": TIME,
            "after_water": TIME, "coldest": TEMPERATURE, "above_dew": DIFFERENCE,
        },
        "surface-fresh": {"most": TIME, "dry": TIME, "above_dew": DIFFERENCE},
        "mat-on-gel-coat": {"most": AREAL_WEIGHT},
        "unwaxed": {},
        "sound-below": {},
        "cure-time": {"least": TIME, "floor": TEMPERATURE},
        "hard-enough": {"share_percent": None, "probe_days": None},
    }
)  # fmt: skip
"""Every gate in the order of showing, with its thresholds and the kind of quantity of each."""


@frozen
class Profile:
    """The gates under one set of rules.

    Attributes:
        refuses: whether a stop refuses the pot until a lead overrides it.
        strict_dates: whether every delivery of a product that ages must have a date, and nobody
            may use it after that date.
    """

    name: str
    title: str
    refuses: bool
    strict_dates: bool
    rules: Mapping[str, Rule]


@lru_cache(maxsize=len(PROFILES))
def profile(name: str) -> Profile:
    """A profile by its name.

    Raises:
        ValueError: the file lacks a gate or a threshold, or has an unknown one.
    """
    import tomllib  # late: most commands ask for no gate

    text = files(__package__).joinpath(f"gates_{name}.toml").read_text(encoding="utf-8")
    return read(name, tomllib.loads(text))


def read(name: str, plain: dict[str, Any]) -> Profile:
    """A profile from the content of its file.

    Raises: ValueError, as `profile`.
    """
    head = {"title", "refuses", "strict_dates"}
    if set(plain) != head | set(LIMITS):
        odd = sorted(set(plain) ^ (head | set(LIMITS)))
        raise ValueError(f"profile {name}: {', '.join(odd)} missing or unknown")
    rules = {gate: _rule(gate, dict(plain[gate])) for gate in LIMITS}
    heads = {word: plain[word] for word in head}
    return Profile(name, rules=MappingProxyType(rules), **heads)


def _rule(gate: str, plain: dict[str, Any]) -> Rule:
    kinds = LIMITS[gate]
    words = {"title", "before", "fails", "source"}
    if set(plain) != words | set(kinds):
        odd = sorted(set(plain) ^ (words | set(kinds)))
        raise ValueError(f"gate {gate}: {', '.join(odd)} missing or unknown")
    if plain["before"] not in BEFORE or plain["fails"] not in VERDICTS[1:]:
        raise ValueError(f"gate {gate}: unknown value of before or fails")
    limits = {limit: _figure(plain[limit], kind) for limit, kind in kinds.items()}
    return Rule(gate, **{word: plain[word] for word in words}, limits=MappingProxyType(limits))


def _figure(given: Any, kind: Kind | None) -> float:
    return float(given) if kind is None else float(quantities.parse(given, kind))
