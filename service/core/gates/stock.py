"""Gates of the stock: rolls rested, resin warmed, peroxide apart from promoter and acetone."""

from __future__ import annotations

from ..amounts.sentences import heat, warmth
from ..frozen import frozen
from ..words import joined, say
from .judged import Judged, Rule

H = 3600


@frozen
class Placed:
    """A lot that the job has reserved, and its bay.

    Attributes:
        name: for people. seconds: in its present bay; None if it is in none.
        warmer: K by which that bay was warmer than the shop over the last day; None if it is the
            shop itself, or if that is not known.
        in_shop: whether it is in the shop.
        temperature: of its bay over the last day, K; None if nobody measured it.
    """

    name: str
    seconds: float | None = None
    warmer: float | None = None
    in_shop: bool = False
    temperature: float | None = None


def rolls_rested(rule: Rule, rolls: list[Placed]) -> Judged:
    """Whether the rolls were long enough in the shop, or in a store warmer than the shop."""
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
            "; ".join(f"{roll.name}: {(roll.seconds or 0) / H:.0f} h in its bay" for roll in young)
            + ".",
            f"Let them rest for {least / H:.0f} h, dry, before they are wetted.",
        )
    away = [roll for roll in rolls if not roll.in_shop]
    cool = [roll.name for roll in away if roll.warmer is not None and roll.warmer < warmer]
    if cool:
        return rule.failed(
            say(
                "Their store is not {} warmer than the shop: {}.",
                warmth(warmer),
                ", ".join(cool),
            ),
            f"Bring them into the shop {least / H:.0f} h before.",
        )
    unmeasured = [roll.name for roll in away if roll.warmer is None]
    if unmeasured:
        return rule.unknown(
            f"Nobody measured how warm their store was: {', '.join(unmeasured)}.",
            "Read its thermometer, or bring them into the shop two days before.",
        )
    return rule.held(f"{len(rolls)} rolls, each at least {least / H:.0f} h in its bay.")


def resin_warm(rule: Rule, resins: list[Placed]) -> Judged:
    """Whether the resin is warm enough to be used as it is, by the bay that it is in."""
    least = rule.limits["least"]
    if not resins:
        return rule.unknown(
            "No resin in stock is reserved for this job.", "Enter what the job 'needs'."
        )
    cold = [r for r in resins if r.temperature is not None and r.temperature < least]
    if cold:
        return rule.failed(
            joined("; ", (say("{} at {}", r.name, heat(r.temperature or 0)) for r in cold)) + ".",
            say("Bring it into the warm until it has {} throughout, and stir it.", heat(least, 0)),
        )
    unmeasured = [r.name for r in resins if r.temperature is None]
    if unmeasured:
        return rule.unknown(
            f"The temperature of these was not measured for a day: {', '.join(unmeasured)}.",
            "Put a thermometer in the resin.",
        )
    return rule.held(say("{} containers, all at {} or more.", len(resins), heat(least, 0)))


def stored_apart(rule: Rule, together: list[str], unplaced: list[str]) -> Judged:
    """Whether peroxide is stored apart from promoter and acetone.

    Args:
        together: sentences on lots that are stored together and must not be. unplaced: names of
            such lots that are in no bay, where both kinds exist.
    """
    if together:
        return rule.failed(f"{'; '.join(together)}.", "Carry one of them to another bay now.")
    if unplaced:
        return rule.unknown(
            f"Nobody knows where these stand: {', '.join(unplaced)}.",
            "Enter the 'bay' that each is in.",
        )
    return rule.held("No peroxide is stored with promoter or acetone.")
