"""Gates of what is laid: rested rolls, warmed resin, and what must never stand together."""

from __future__ import annotations

from dataclasses import dataclass

from ..amounts import sentences as worded
from .judged import Judged, Rule

H = 3600


@dataclass(frozen=True)
class Stood:
    """A lot that the job has reserved, and where it stood.

    Attributes:
        name: as a person calls it. seconds: in the bay that it is in; None in no bay.
        warmer: K by which that bay was warmer than the shop over the last day; None where it
            is the shop itself, or that is not known.
        in_shop: whether it stands in the shop.
        temperature: of its bay over the last day, K; None where nobody measured it.
    """

    name: str
    seconds: float | None = None
    warmer: float | None = None
    in_shop: bool = False
    temperature: float | None = None


def rolls_rested(rule: Rule, rolls: list[Stood]) -> Judged:
    """Whether the rolls lay long enough in a store warmer than the shop, or in the shop."""
    least, warmer = rule.limits["least"], rule.limits["warmer"]
    if not rolls:
        return rule.unknown(
            "No roll in stock is reserved for this job.", "Enter what the job 'needs'."
        )
    lost = [roll.name for roll in rolls if roll.seconds is None]
    if lost:
        return rule.unknown(
            f"Nobody knows where these lay: {', '.join(lost)}.",
            "Enter the 'bay' that each is in.",
        )
    young = [roll for roll in rolls if (roll.seconds or 0) < least]
    if young:
        return rule.failed(
            "; ".join(
                f"{roll.name}: {(roll.seconds or 0) / H:.0f} h in its place" for roll in young
            )
            + ".",
            f"Let them lie {least / H:.0f} h, dry, before they are wetted.",
        )
    away = [roll for roll in rolls if not roll.in_shop]
    cool = [roll.name for roll in away if roll.warmer is not None and roll.warmer < warmer]
    if cool:
        return rule.failed(
            f"Their store is not {worded.warmth(warmer)} warmer than the shop: {', '.join(cool)}.",
            f"Bring them into the shop {least / H:.0f} h before.",
        )
    unmeasured = [roll.name for roll in away if roll.warmer is None]
    if unmeasured:
        return rule.unknown(
            f"Nobody measured how warm their store was: {', '.join(unmeasured)}.",
            "Read its thermometer, or bring them into the shop two days before.",
        )
    return rule.held(f"{len(rolls)} rolls, each at least {least / H:.0f} h in its place.")


def resin_warm(rule: Rule, resins: list[Stood]) -> Judged:
    """Whether the resin stood where it is warm enough to be used as it is."""
    least = rule.limits["least"]
    if not resins:
        return rule.unknown(
            "No resin in stock is reserved for this job.", "Enter what the job 'needs'."
        )
    cold = [r for r in resins if r.temperature is not None and r.temperature < least]
    if cold:
        return rule.failed(
            "; ".join(f"{r.name} at {worded.heat(r.temperature or 0)}" for r in cold) + ".",
            f"Bring it into the warm until it has {worded.heat(least, 0)} throughout, and stir it.",
        )
    unmeasured = [r.name for r in resins if r.temperature is None]
    if unmeasured:
        return rule.unknown(
            f"How warm these are was not measured for a day: {', '.join(unmeasured)}.",
            "Put a thermometer in the resin.",
        )
    return rule.held(f"{len(resins)} containers, all at {worded.heat(least, 0)} or more.")


def stored_apart(rule: Rule, together: list[str], unplaced: list[str]) -> Judged:
    """Whether peroxide stands apart from promoter and acetone.

    Args:
        together: in words, what stands with what. unplaced: those in no bay, where both exist.
    """
    if together:
        return rule.failed(f"{'; '.join(together)}.", "Carry one of them to another place now.")
    if unplaced:
        return rule.unknown(
            f"Nobody knows where these stand: {', '.join(unplaced)}.",
            "Enter the 'bay' that each is in.",
        )
    return rule.held("No peroxide stands with promoter or acetone.")
