"""The signs and the next step of a layup that cures by moisture, in its own words.

It has no recoat window: it is tooled before it skins, and then left until it is cured through. A
nail or a hardness finds only its skin, so neither says that it is.
"""

from __future__ import annotations

from ..amounts.sentences import heat
from ..products import cautions
from ..words import say
from .milestones import Milestone
from .moisture_forecast import BELOW_COLDEST, NO_HUMIDITY, ByMoisture
from .next_step import NextStep, finished, unsettled
from .signs import TROUBLE, Sign
from .touch import Touch

SUSPECT_TIMES = 2
"""Still wet after twice its latest skin time: too dry, too cold or an old cartridge (common
practice, no source)."""
WORKS = ("gelled", "not_gelled", "wet_film", "covered", "handed_over", "scraped_off")
"""What a hand may note of it before it is cured through: film, skin, or what became of it."""


def signs(
    found: dict[str, Milestone], touch: Touch, started: float, now: float
) -> tuple[Sign, ...]:
    """The signs of a layup at `now`, epoch s.

    Args:
        found: its milestones as corrected by hands. started: when it was laid, epoch s.
    """
    done = touch.finished is not None and touch.finished <= now
    if done or touch.scraped_off is not None:
        return ("finished",)
    shown = _skin_signs(found["skin"], touch, started, now)
    ended = touch.ended
    if ended is not None and not (touch.is_set and found["through"].reached(ended)):
        shown.append("unsettled")
    if TROUBLE.isdisjoint(shown):
        if found["through"].reached(now):
            shown = ["skinned", "cured_through"]
        if touch.sandable is not None:
            shown.append("sandable")
    return tuple(shown)


def _skin_signs(skin: Milestone, touch: Touch, started: float, now: float) -> list[Sign]:
    wet = touch.not_gelled
    if wet is not None and skin.latest is not None and wet >= skin.latest:
        over = (wet - started) / max(skin.latest - started, 1.0)
        return ["wet", "late", "suspect"] if over >= SUSPECT_TIMES else ["wet", "late"]
    if touch.relapsed:
        return ["wet", "late"]
    if touch.is_set or skin.reached(now):
        return ["skinned"]
    return ["gelling"] if skin.earliest is not None and now >= skin.earliest else ["wet"]


def next_step(
    told: ByMoisture,
    found: dict[str, Milestone],
    shown: tuple[Sign, ...],
    touch: Touch,
    now: float,
) -> NextStep:
    """The next thing to do with a layup; arguments as `signs`."""
    if "finished" in shown:
        return _finished(found["through"], touch, now)
    trouble = _trouble(shown)
    if trouble is not None:
        return trouble
    skinned, through = "skinned" in shown, found["through"]
    cold = BELOW_COLDEST in (through.why, found["skin"].why)
    if not skinned and told.tool_by is not None and now < told.tool_by:
        return NextStep("wait", "Tool it before it skins, then leave it alone.", told.tool_by)
    if not skinned and not cold and found["skin"].why != "not-on-sheet":
        text = "Leave it alone until it has skinned: tooled now, the skin tears."
        return NextStep("wait", text, found["skin"].latest)
    if "cured_through" in shown:
        return NextStep(
            "touch",
            "Cured through, by its clock. Cut into an edge or a sample beside it: it is firm to "
            "the ground.",
        )
    if cold and told.coldest is not None:
        return NextStep(
            "heat",
            say("It goes under {}, below which it does not cure: keep it warmer.",
                heat(told.coldest, 0)),
            cautions=(cautions.HEAT,),
        )  # fmt: skip
    return _wait(through)


def _finished(through: Milestone, touch: Touch, now: float) -> NextStep:
    """Of a layup that nobody watches any more: a job that was signed leaves a bead to cure."""
    if touch.scraped_off is not None or through.reached(now):
        return finished(touch)
    return NextStep(
        "none", "Nobody watches it any more. Keep loads off it until it is cured through.",
        through.latest,
    )  # fmt: skip


def _wait(through: Milestone) -> NextStep:
    if through.why == NO_HUMIDITY:
        text = "Read the bay with its humidity: without it nobody knows when it is cured through."
        return NextStep("wait", text)
    text = "Skinned: keep loads off it, and the air moist, until it is cured through."
    return NextStep("wait", text, through.latest)


def _trouble(shown: tuple[Sign, ...]) -> NextStep | None:
    if "suspect" in shown:
        return NextStep(
            "probe",
            "Wet long after its skin time: the air is too dry or too cold, or the container is "
            "old. Do not cover it. Try the container on paper; scrape it off.",
        )
    if "late" in shown:
        return NextStep(
            "probe", "Late to skin: find out why before anything goes on it. Read the humidity."
        )
    return unsettled() if "unsettled" in shown else None
