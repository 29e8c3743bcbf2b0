"""How tests wait: for what is to happen, never for a time that should be enough.

A busy machine is no fault of the code, so nothing here is a measure of speed: that is the bench's
(`tests/bench`). A time is only where one gives up on what hangs, and within a test's own limit.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import TypeVar

Found = TypeVar("Found")

HANGS_S = 300
"""Whoever has not answered, ended or come up after this hangs."""


def until(found: Callable[[], Found], what: str = "it") -> Found:
    """Ask again and again until something is found, which is given back.

    Raises: AssertionError: that never was; `what` names it.
    """
    ends = time.monotonic() + HANGS_S
    while not (got := found()):
        assert time.monotonic() < ends, f"{what} never came"
        time.sleep(0.02)
    return got
