"""Quality gates: what must hold before a layer is laid, or before a part is moved on.

Each gate answers pass, caution or stop, what it found, and what would change the answer. What
nobody measured is a caution that says what to measure, in any profile: a gate never stops work
for what is not known.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

Verdict = Literal["pass", "caution", "stop"]
Before = Literal["laminating", "moving_on"]

BEFORE: tuple[Before, ...] = ("laminating", "moving_on")
VERDICTS: tuple[Verdict, ...] = ("pass", "caution", "stop")


@dataclass(frozen=True)
class Rule:
    """A gate as a profile has it.

    Attributes:
        gate: its name. title: what it asks, in a few words.
        before: which step it stands before.
        fails: what it answers where it does not hold.
        source: where its figures come from.
        limits: its figures by name, in base units (percents as they are).
    """

    gate: str
    title: str
    before: Before
    fails: Verdict
    source: str
    limits: Mapping[str, float]

    def held(self, found: str) -> Judged:
        """It holds."""
        return Judged(self, "pass", found)

    def failed(self, found: str, change: str) -> Judged:
        """It does not hold; `change` is what would mend that."""
        return Judged(self, self.fails, found, change)

    def unknown(self, found: str, measure: str) -> Judged:
        """It can't be told; `measure` is what to measure or to say."""
        return Judged(self, "caution", found, measure)


@dataclass(frozen=True)
class Judged:
    """A gate's answer.

    Attributes:
        found: what it rests on. change: what would change the answer; empty when it passes.
    """

    rule: Rule
    verdict: Verdict
    found: str
    change: str = ""
