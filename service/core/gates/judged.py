"""Quality gates: conditions that must hold before a layer is laid or a part is moved on.

Each gate answers with pass, caution or stop, with its finding, and with how to change the answer. A
fact that nobody measured is a caution that says what to measure, in every profile: a gate never
stops work because something is unknown.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from ..frozen import frozen
from ..words import Text

Verdict = Literal["pass", "caution", "stop"]
Before = Literal["laminating", "moving_on"]

BEFORE: tuple[Before, ...] = ("laminating", "moving_on")
VERDICTS: tuple[Verdict, ...] = ("pass", "caution", "stop")


@frozen
class Rule:
    """A gate as a profile defines it.

    Attributes:
        gate: its name. title: its condition in a few words.
        before: the step that it guards.
        fails: its verdict if the condition does not hold.
        source: of its figures.
        limits: its figures by name, in base units (percents as they are).
    """

    gate: str
    title: str
    before: Before
    fails: Verdict
    source: str
    limits: Mapping[str, float]

    def held(self, found: Text) -> Judged:
        """The condition holds."""
        return Judged(self, "pass", found)

    def failed(self, found: Text, change: Text) -> Judged:
        """The condition does not hold; `change` says how to meet it."""
        return Judged(self, self.fails, found, change)

    def unknown(self, found: Text, measure: Text) -> Judged:
        """It is not known whether the condition holds; `measure` says what to measure or enter."""
        return Judged(self, "caution", found, measure)


@frozen
class Judged:
    """A gate's answer.

    Attributes:
        found: the finding. change: how to change the answer; empty if it passes.
    """

    rule: Rule
    verdict: Verdict
    found: Text
    change: Text = ""
