"""How a row is measured: what is judged and its floor by turns, and the ratio of their medians."""

from __future__ import annotations

import gc
import os
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from statistics import median
from typing import Any

PARTS = 5
"""Parts of a run, each with a ratio of its own: how far they lie apart is the spread."""
GROSS = 2
"""Beyond so many times its limit, or where it stands, even in the best part of a short run and
three times over, a row fails it: no noise does that."""

Timed = Callable[[], float]
"""Does the thing once; the seconds that it took."""


@dataclass(frozen=True)
class Row:
    """One line of the table.

    Attributes:
        what, floor: what is measured, against what.
        ratio: of the medians; None where something is only reported.
        low, high: least and greatest ratio of the run's parts.
        limit: that the ratio is held to, or None.
        n: how often each was done. seconds, floor_seconds: medians.
        note: what else was seen. fault: what else must hold and does not.
        stands: where it was last seen to stand, where that is beyond the limit.
    """

    what: str
    floor: str
    limit: float | None = None
    ratio: float | None = None
    low: float | None = None
    high: float | None = None
    n: int = 0
    seconds: float | None = None
    floor_seconds: float | None = None
    note: str = ""
    fault: str = ""
    stands: float | None = None

    @property
    def holds(self) -> bool:
        """Whether it is within its limit, and nothing else is amiss."""
        within = self.ratio is None or self.limit is None or self.ratio <= self.limit
        return within and not self.fault

    @property
    def gross(self) -> bool:
        """Whether it is plainly slower than it was: even in the best part of the run."""
        bound = self.stands or self.limit
        return self.low is not None and bound is not None and self.low > bound * GROSS


@dataclass(frozen=True)
class Scale:
    """How much is done: all of it, or what a minute allows."""

    short: bool = False

    def n(self, full: int, short: int) -> int:
        """A count for either run."""
        return short if self.short else full


def timed(act: Callable[[], Any]) -> Timed:
    """An act of this process with its time."""

    def once() -> float:
        began = time.perf_counter()
        act()
        return time.perf_counter() - began

    return once


def compared(
    what: str, floor: str, limit: float, subject: Timed, against: Timed, n: int, **more: Any
) -> Row:
    """A row from `n` pairs, the subject and its floor by turns; a tenth more go before, untimed."""
    for _ in range(max(n // 10, 1)):
        subject()
        against()
    gc.collect()
    pairs = []
    for number in range(n):  # who goes first changes, so that neither always follows the other
        if number % 2:
            floor_took, took = against(), subject()
        else:
            took, floor_took = subject(), against()
        pairs.append((took, floor_took))
    size = -(-n // PARTS)
    ratios = [_ratio(pairs[at : at + size]) for at in range(0, n, size)]
    return Row(
        what, floor, limit, _ratio(pairs), min(ratios), max(ratios), n,
        median(took for took, _ in pairs), median(took for _, took in pairs), **more,
    )  # fmt: skip


def _ratio(pairs: Sequence[tuple[float, float]]) -> float:
    return median(took for took, _ in pairs) / median(floor for _, floor in pairs)


def calm(patience_s: float = 180.0) -> bool:
    """Whether the machine's cores are free, or come to be in a while; else nothing is told well."""
    until = time.monotonic() + patience_s
    while (busy := os.getloadavg()[0] > (os.cpu_count() or 1)) and time.monotonic() < until:
        time.sleep(5)
    return not busy


def machine() -> str:
    """What it ran on, in a few words."""
    name = ""
    if os.path.exists("/proc/cpuinfo"):
        with open("/proc/cpuinfo", encoding="utf-8") as told:
            names = (line.partition(":")[2].strip() for line in told if "model name" in line)
            name = next(names, "")
    return f"{os.cpu_count()} cores, {name or 'unknown processor'}, load {os.getloadavg()[0]:.1f}"
