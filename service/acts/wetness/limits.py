"""The yard's limits of dryness: those of the gate `dry` in its profile."""

from __future__ import annotations

from ...core.gates import dry
from ...core.gates.judged import Rule
from ...core.wetness.readings import Counting
from ..yard import settings


def rule() -> Rule:
    """The gate of dryness by the yard's profile."""
    return settings.rules().rules["dry"]


def counting() -> Counting:
    """Its limits for a reading to count."""
    return dry.counting(rule())
