"""What a foreman's notebook says of the floor, beside the store: pots, layups, looks, drums.

Written from the rules of the trade, not from the code. The store must never say less trouble than
the notebook, never promise more than a pot alone would, and never contradict a hand.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from math import inf
from typing import NamedTuple

from cureyard_service.acts.cure.show import LayupView
from cureyard_service.core.words import shown

LOOKS = (
    "gelled", "not_gelled", "no_transfer", "green", "thumbnail", "hardness", "sanded",
    "scraped_off",
)  # fmt: skip
"""What a hand may say of a layup in these days."""
HARD = ("thumbnail", "hardness")
GREEN_OR_HARDER = ("gelled", "no_transfer", "green", "sanded", *HARD)
"""Whoever says one of these has felt that it set."""
SETTLES = (*GREEN_OR_HARDER, "scraped_off")
"""What says what became of a layer that was in trouble."""
IN_TROUBLE = frozenset({"late", "suspect", "cold_stalled", "unsettled"})
UNSOUND = IN_TROUBLE | {"wet", "gelling"}
"""Nothing may be laid on a layer that shows one of these signs."""
OPENINGS = ("recoat_opens", "sandable", "full_cure")


class Look(NamedTuple):
    """What a hand said of a layup at a moment (epoch s), in the order of time."""

    at: int
    id: int
    kind: str


@dataclass
class Laid:
    """A layup in the notebook.

    Attributes:
        pots: their ids. twins: layups of one pot each, laid at the same time and place.
        over: the layup that it lies on. looks: what hands said and did not take back.
        told: the signs of trouble that the store showed and nobody has settled yet.
        covered: whether another layer lies on it. stale: whether one of its pots must have
            gelled before it was laid.
    """

    pots: tuple[int, ...]
    twins: tuple[int, ...] = ()
    over: int | None = None
    looks: list[Look] = field(default_factory=list)
    told: set[str] = field(default_factory=set)
    covered: bool = False
    stale: bool = False

    @property
    def last_word(self) -> str | None:
        """The last thing that a hand said of it."""
        return max(self.looks).kind if self.looks else None

    def said(self, *kinds: str) -> bool:
        """Whether a hand said one of these, and nobody found it wet or took it off afterwards."""
        said = [look.kind for look in sorted(self.looks)]
        void = [place for place, kind in enumerate(said) if kind in ("not_gelled", "scraped_off")]
        return any(kind in kinds for kind in said[max(void, default=-1) + 1 :])

    @property
    def gone(self) -> bool:
        """Whether it was scraped off, and is not there to be said anything of."""
        said = [look.kind for look in sorted(self.looks)]
        last = [kind for kind in said if kind in ("not_gelled", "scraped_off")][-1:]
        return last == ["scraped_off"]

    @property
    def seen_wet(self) -> bool:
        """Whether the last look at it found it not gelled."""
        return self.last_word == "not_gelled"

    def unsound(self, shown: Iterable[str], *, doubted: bool) -> bool:
        """Whether nothing may go on it, by the signs that it shows or by the last look.

        Args:
            doubted: whether that look is asked for again: then it proves nothing.
        """
        lumps = self.stale and (doubted or not self.said(*GREEN_OR_HARDER))
        return self.seen_wet or lumps or bool(UNSOUND & set(shown))


def opens(told: LayupView, name: str, edge: str) -> float:
    """An opening of an answer; infinite where it is not in sight."""
    moment = getattr(told.milestones.by_name()[name], edge)
    return inf if moment is None else float(moment)


def closes(told: LayupView, edge: str) -> float:
    """The closing of an answer; minus infinity where it has no window at all."""
    found = told.milestones.recoat_closes
    return -inf if found.at is None else float(getattr(found, edge))


def is_doubted(told: LayupView) -> bool:
    """Whether the last look at a layup is asked for again."""
    return any("note it again" in shown(word, "metric") for word in told.warnings)


def contradictions(laid: Laid, told: LayupView, now: int) -> list[str]:
    """Where what is to be done next speaks against what a hand said last."""
    if laid.gone or is_doubted(told):
        return []
    action, signs = told.next.action, set(told.state)
    words = shown(told.next.text, "metric").lower()
    found = []
    if laid.seen_wet and action in ("coat", "prepare", "none"):
        found.append(f"seen wet, and told to {action}")
    if laid.said("gelled", *GREEN_OR_HARDER) and (words.startswith("wet") or "wet" in signs):
        found.append("seen gelled, and called wet")
    in_time = now < closes(told, "earliest")
    open_ = action == "coat" and "recoat_open" in signs
    if laid.last_word == "no_transfer" and in_time and not open_:
        found.append(f"a glove came away clean, and told to {action}")
    ground = action == "coat" and not re.search(r"\b(grind|abrade)\b", words)
    if laid.last_word == "sanded" and not ground:
        found.append(f"sanded, and told: {words}")
    if laid.said(*HARD) and ("sandable" in words or not {"sandable", "tacky"} & signs):
        found.append("found hard, and told to wait until it is sandable")
    return found
