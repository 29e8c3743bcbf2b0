"""How a layup stands now, as signs that hold independently, and what to do next.

They are not a ladder: filler may be sanded within the hour, tacky resin never. A forecast
stays a forecast until a hand has touched the part.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from ..amounts import sentences as worded
from ..products import cautions
from . import preparation
from .layer import Layer
from .milestones import Milestone, PotForecast, on_part, window
from .night import ColdAhead
from .preparation import Stand
from .touch import Touch

Sign = Literal[
    "wet", "gelling", "gelled", "late", "suspect", "recoat_open", "recoat_past",
    "sandable", "tacky", "cold_stalled", "handling_cure", "unsettled", "finished", "not_laid",
]  # fmt: skip
Action = Literal["wait", "touch", "coat", "prepare", "heat", "probe", "none"]

TROUBLE: frozenset[Sign] = frozenset({"late", "suspect", "cold_stalled", "unsettled"})
"""Signs under which nothing is promised, and which stay until somebody says what became of it."""
_UNSOUND: tuple[tuple[Sign, str], ...] = (
    ("suspect", "is suspect: it had not gelled at twice its latest time"),
    ("late", "is late to gel"),
    ("cold_stalled", "is stalled cold"),
    ("unsettled", "was covered or left while it was not sound, and nobody said what became of it"),
    ("wet", "is wet"),
    ("gelling", "may not have gelled yet"),
)


@dataclass(frozen=True)
class NextStep:
    """What to do, and the moment that it turns on (epoch s), which the words leave out."""

    action: Action
    text: str
    at: float | None = None
    cautions: tuple[str, ...] = ()


def signs(
    layer: Layer,
    found: dict[str, Milestone],
    stalled: float | None,
    touch: Touch,
    now: float,
    pots: Sequence[PotForecast],
) -> tuple[Sign, ...]:
    """The signs of a layup at `now`.

    Args:
        found: as hands' words leave it, see `touch.by_hand`.
        stalled: when it lay cold for too long, if it has and no check ended that.
        pots: when each of its pots gels.
    """
    done = touch.finished is not None and touch.finished <= now
    if done or touch.scraped_off is not None:
        return ("finished",)
    shown = _gel_sign(pots, on_part(found["gel"], found["film"]), touch, now)
    if stalled is not None and stalled <= now:
        shown = [sign for sign in shown if sign not in ("wet", "gelling")] + ["cold_stalled"]
    if touch.ended is not None and not touch.is_set:
        shown.append("unsettled")
    if TROUBLE.isdisjoint(shown):
        shown += _surface_signs(layer, found, touch, now)
    elif touch.sandable is not None:
        shown.append("sandable")
    return tuple(shown)


def _surface_signs(
    layer: Layer, found: dict[str, Milestone], touch: Touch, now: float
) -> list[Sign]:
    shown: list[Sign] = []
    stand = recoat_stand(layer, found, now)
    if stand == "open":
        shown.append("recoat_open")
    elif stand == "past":
        shown.append("recoat_past")
    if touch.sandable is not None or _passed(found["sandable"], now):
        shown.append("sandable")
    elif found["sandable"].why == "tacky-surface":
        shown.append("tacky")
    if _passed(found["full_cure"], now):
        shown.append("handling_cure")
    return shown


def _gel_sign(pots: Sequence[PotForecast], gel: Milestone, touch: Touch, now: float) -> list[Sign]:
    """A part that is wet is late as soon as one of its pots is: nobody said whose spot it was."""
    found = {pot.lateness(touch.not_gelled) for pot in pots}
    if "suspect" in found:
        return ["wet", "late", "suspect"]
    if "late" in found or touch.relapsed:
        return ["wet", "late"]
    if touch.is_set or all(pot.seen for pot in pots):
        return ["gelled"]
    if gel.at is None:
        return [] if touch.not_gelled is None else ["wet"]
    if gel.earliest is not None and now < gel.earliest:
        return ["wet"]
    return ["gelled"] if _passed(gel, now) else ["gelling"]


def unsound(shown: tuple[Sign, ...], touch: Touch) -> str | None:
    """Why nothing may go on a layup with these signs, as what it is; None where it is sound."""
    found = next((words for sign, words in _UNSOUND if sign in shown), None)
    if found is None and touch.not_gelled is not None:
        return "had not gelled when a hand last felt it"
    return found


def _passed(milestone: Milestone, now: float) -> bool:
    return milestone.latest is not None and now >= milestone.latest


def recoat_stand(layer: Layer, found: dict[str, Milestone], now: float) -> Stand:
    """Where the next layer stands: before its window, in it, or past it.

    A waxed or unknown surface has no window: it is 'before' until it is hard, then 'past'. What a
    hand found hard before its window was due is past it: the clock was wrong by too much.
    """
    if found["recoat_opens"].why == "waxed-surface":
        return "past" if _passed(found["sandable"], now) else "before"
    held = window(found)
    if held is not None and held[0] <= now < held[1]:
        return "open"
    closes, hard = found["recoat_closes"].earliest, found["sandable"]
    if hard.basis == "observed" and _passed(hard, now):
        return "past"
    return "past" if closes is not None and now >= closes else "before"


def next_step(
    layer: Layer,
    found: dict[str, Milestone],
    shown: tuple[Sign, ...],
    now: float,
    *,
    structural: bool,
    touch: Touch,
    cold: ColdAhead | None = None,
    clock: Callable[[float], str] = worded.utc,
) -> NextStep:
    """What to do with a layup next.

    Args:
        shown: its signs. structural: whether its job carries load; unknown counts as yes.
        cold: what `night.cold_ahead` says while it is not hard yet. clock: shows a moment.
    """
    if "finished" in shown:
        return _finished(touch)
    trouble = _trouble(shown, touch, cold, clock)
    if trouble is not None:
        return trouble
    wet = "wet" in shown or "gelling" in shown
    stand = recoat_stand(layer, found, now)
    if touch.not_gelled is not None and not wet:
        return _feel_again(found, stand)
    by_glove = stand == "open" and touch.no_transfer is not None
    if cold is not None and not by_glove:
        return _heat(cold, clock)
    if wet:
        gel = on_part(found["gel"], found["film"])
        return NextStep("wait", "Wet: leave it alone until it has gelled.", gel.latest)
    if touch.abraded:
        return _abraded(layer)
    if stand == "open":
        coat = _coat(layer, found, structural, touch)
        return coat if cold is None else _and_heat(coat, _heat(cold, clock))
    if stand == "before" and window(found) is not None:
        opens = found["recoat_opens"].latest
        return NextStep("wait", "Wait for the recoat window.", opens)
    if stand == "before" and found["recoat_opens"].at is not None:
        return _unsure(layer, found)
    return _prepare(layer, found, touch, now)


def _finished(touch: Touch) -> NextStep:
    if touch.scraped_off is not None:
        return NextStep("none", "Scraped off: nothing more is watched.")
    return NextStep("none", "Finished: nothing more is watched.")


def _trouble(
    shown: tuple[Sign, ...], touch: Touch, cold: ColdAhead | None, clock: Callable[[float], str]
) -> NextStep | None:
    """What to do first of all; None where it is not in trouble."""
    covered = " What lies on it comes off with it." if touch.ended is not None else ""
    if "suspect" in shown:
        return NextStep(
            "probe",
            "Suspect no catalyst or a wrong ratio: do not cover it. Probe it; scrape it off."
            + covered,
        )
    if "cold_stalled" in shown:
        return NextStep(
            "heat",
            f"Stalled cold: heat it{_held(cold, clock)}, then check hardness or wipe with solvent "
            "before anything goes on it.",
            cautions=(cautions.HEAT,),
        )
    if touch.relapsed and "late" in shown:
        return NextStep(
            "probe",
            "Called gelled, then found wet: do not cover it. Probe it all over; it may have "
            f"cured in patches.{covered}",
        )
    if "late" in shown:
        return NextStep("probe", f"Late to gel: find out why before anything goes on it.{covered}")
    if "unsettled" in shown:
        return NextStep(
            "probe",
            "It was covered or left while it was not sound. Find out what became of it, and note "
            "it: gelled, a hardness, or scraped off.",
        )
    return None


def _feel_again(found: dict[str, Milestone], stand: Stand) -> NextStep:
    """It should have gelled by now, but was wet when a hand last felt it."""
    return NextStep(
        "touch",
        "Wet when a hand last felt it: feel it again with a glove before anything goes on it, and "
        "note what you find.",
        found["recoat_closes"].earliest if stand == "open" else None,
    )


def _abraded(layer: Layer) -> NextStep:
    past = preparation.prepare(layer.surface, "past", layer.cover)
    return NextStep(
        "coat",
        "Abraded: take off the dust, and it is ready to be covered, the same day.",
        cautions=past.cautions,
    )


def _held(cold: ColdAhead | None, clock: Callable[[float], str]) -> str:
    return "" if cold is None else f" and {cold.remedy(clock)}"


def _heat(cold: ColdAhead, clock: Callable[[float], str]) -> NextStep:
    floor = worded.heat(cold.floor, 0)
    return NextStep(
        "heat",
        f"It goes under {floor} before it is hard: {cold.remedy(clock)}.",
        cold.cold_from,
        (cautions.HEAT,),
    )


def _and_heat(coat: NextStep, heat: NextStep) -> NextStep:
    """A glove says that the window is open now; the cold is still to come."""
    return replace(
        coat, text=f"{coat.text} {heat.text}", cautions=(*coat.cautions, *heat.cautions)
    )  # fmt: skip


def _unsure(layer: Layer, found: dict[str, Milestone]) -> NextStep:
    """Its window holds at no moment for both edges of the band: a hand must tell."""
    past = preparation.prepare(layer.surface, "past", layer.cover)
    return NextStep(
        "touch",
        "The recoat window is too uncertain to promise. Try it with a glove: no transfer, then "
        f"the next layer can go on; hard already, then {', then '.join(past.steps)}.",
        found["recoat_opens"].at,
        past.cautions,
    )


def _coat(layer: Layer, found: dict[str, Milestone], structural: bool, touch: Touch) -> NextStep:
    closes = found["recoat_closes"].earliest
    done = preparation.prepare(layer.surface, "open", layer.cover)
    first = "Strip the cover. " if layer.cover != "none" else ""
    first += "Wash off the blush with water and a pad, dry. " if touch.blush is not None else ""
    felt = touch.no_transfer is not None or touch.hard is not None
    if not felt and structural and found["recoat_opens"].basis != "measured":
        return NextStep(
            "touch",
            f"{first}The window is a forecast: touch it with a glove; no transfer, then the "
            "next layer goes on without abrading.",
            closes,
            (cautions.STRUCTURE,),
        )
    note = "" if felt else " Test by glove first."
    return NextStep(
        "coat",
        f"{first}The next layer can go on without abrading.{note}",
        closes,
        done.cautions,
    )


def _prepare(layer: Layer, found: dict[str, Milestone], touch: Touch, now: float) -> NextStep:
    sandable = found["sandable"].latest
    work = preparation.prepare(layer.surface, "past", layer.cover)
    left = preparation.left_to_do(
        work.steps, hard=touch.hard is not None, wiped=touch.wiped is not None,
        blush=touch.blush is not None,
    )  # fmt: skip
    steps = ", then ".join(left)
    because = f" ({work.reason})."
    if sandable is not None and now < sandable:
        return NextStep("wait", f"Wait until it is sandable, then {steps}{because}", sandable)
    return NextStep("prepare", f"Before the next layer: {steps}{because}", cautions=work.cautions)
