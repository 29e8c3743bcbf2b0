"""A layup under a vacuum bag: what hands said of it, what to do next, what came off too soon."""

from __future__ import annotations

from math import inf

from ...core.amounts.hours import opening
from ...core.cure.bag import Bag, Said, bag_of
from ...core.cure.next_step import NextStep
from ...store.cure.layup_records import LayupRecord
from ..yard import moments

LOOK = (
    "Look for voids, bridges and lifted plies, and tap it. A face that air reached may stay tacky."
)


def bag_on(record: LayupRecord) -> Bag | None:
    """The last bag that was on a layup; None if it had none."""
    said = (Said(each.kind, float(each.at), each.pressure_pa, each.air_pa) for each in record.seen)
    return bag_of(said)


def step_under(step: NextStep, hold: float | None, now: float) -> NextStep:
    """The next step while a bag is on: hold it, then take it off. Trouble and cold go first."""
    if step.action in ("none", "probe", "heat"):
        return step
    if hold is None:
        return NextStep(
            "wait",
            "Under a bag: no hour is sure, so hold the vacuum until a hand finds it hard at an "
            "edge.",
        )
    if now < opening(hold):
        return NextStep("wait", "Under a bag: hold the vacuum until it is hard enough.", hold)
    return NextStep(
        "touch",
        "It should be hard enough: take the bag off, note it, and feel it before anything goes on.",
    )


def off_too_soon(bag: Bag | None, hold: float | None, hard: float | None) -> tuple[str, ...]:
    """Words on a bag that came off before it should have; none where it did not.

    Args:
        hold: until when it should have been held, by all that is known now. hard: when a hand
            first found it hard. Epoch s, or None.
    """
    came_off = [] if bag is None else [*bag.before, *([] if bag.off is None else [bag.off])]
    enough = min((at for at in (hold, hard) if at is not None), default=inf)
    early = [off for off in came_off if off < enough]
    if not early:
        return ()
    off = moments.noted(early[0])
    if hold is None:
        return (f"The bag came off at {off}, when no hour was sure at which it is hard. {LOOK}",)
    until = moments.noted(opening(hold))
    return (f"The bag came off at {off}, and should have been held until {until}. {LOOK}",)
