"""How a layup stands now, as signs that hold independently, and what to do next.

They are not a ladder: filler may be sanded within the hour, tacky resin never. A forecast
stays a forecast until a hand has touched the part.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Literal

from . import cautions, preparation, worded
from .layer import Layer
from .milestones import Milestone, PotForecast, on_part, window
from .night import ColdAhead
from .preparation import Stand

Sign = Literal[
    "wet", "gelling", "gelled", "late", "suspect", "recoat_open", "recoat_past",
    "sandable", "tacky", "cold_stalled", "handling_cure", "finished", "not_laid",
]  # fmt: skip
Action = Literal["wait", "touch", "coat", "prepare", "heat", "probe", "none"]


@dataclass(frozen=True)
class Touch:
    """What hands have reported of a layup, epoch s; None where nobody did.

    Attributes:
        not_gelled: last time that it was found still wet.
        no_transfer: last time that a glove came away clean: it may be covered.
        sanded: when it was sanded fine. hard: when a hardness or thumbnail check passed.
        finished: when it was covered or handed over, and stopped being watched.
    """

    not_gelled: float | None = None
    no_transfer: float | None = None
    sanded: float | None = None
    hard: float | None = None
    finished: float | None = None


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
    """The signs of a layup at `now`; `stalled` is when it lay cold for too long, if it has.

    Args:
        pots: when each of its pots gels.
    """
    if touch.finished is not None and touch.finished <= now:
        return ("finished",)
    shown: list[Sign] = []
    gel = _gel_sign(pots, on_part(found["gel"], found["film"]), touch, now)
    if gel:
        shown += gel
    if stalled is not None and stalled <= now and touch.hard is None:
        shown.append("cold_stalled")
    stand = recoat_stand(layer, found, now)
    if stand == "open":
        shown.append("recoat_open")
    elif stand == "past":
        shown.append("recoat_past")
    if found["sandable"].why == "tacky-surface":
        shown.append("tacky")
    elif touch.sanded is not None or _passed(found["sandable"], now):
        shown.append("sandable")
    if _passed(found["full_cure"], now):
        shown.append("handling_cure")
    return tuple(shown)


def _gel_sign(pots: Sequence[PotForecast], gel: Milestone, touch: Touch, now: float) -> list[Sign]:
    """A part that is wet is late as soon as one of its pots is: nobody said whose spot it was."""
    if all(pot.seen for pot in pots):
        return ["gelled"]
    found = {pot.lateness(touch.not_gelled) for pot in pots}
    if "suspect" in found:
        return ["wet", "late", "suspect"]
    if "late" in found:
        return ["wet", "late"]
    if gel.at is None:
        return []
    if gel.earliest is not None and now < gel.earliest:
        return ["wet"]
    return ["gelled"] if _passed(gel, now) else ["gelling"]


def _passed(milestone: Milestone, now: float) -> bool:
    return milestone.latest is not None and now >= milestone.latest


def recoat_stand(layer: Layer, found: dict[str, Milestone], now: float) -> Stand:
    """Where the next layer stands: before its window, in it, or past it.

    A waxed or unknown surface has no window: it is 'before' until it is hard, then 'past'.
    """
    if found["recoat_opens"].why == "waxed-surface":
        return "past" if _passed(found["sandable"], now) else "before"
    held = window(found)
    if held is not None and held[0] <= now < held[1]:
        return "open"
    closes = found["recoat_closes"].earliest
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
        return NextStep("none", "Finished: nothing more is watched.")
    if "suspect" in shown:
        return NextStep(
            "probe",
            "Suspect no catalyst or a wrong ratio: do not cover it. Probe it; scrape it off.",
        )
    if "cold_stalled" in shown:
        return NextStep(
            "heat",
            f"Stalled cold: heat it{_held(cold, clock)}, then check hardness or wipe with solvent "
            "before anything goes on it.",
            cautions=(cautions.HEAT,),
        )
    if "late" in shown:
        return NextStep("probe", "Late to gel: find out why before anything goes on it.")
    if cold is not None:
        return _heat(cold, clock)
    if "wet" in shown or "gelling" in shown:
        gel = on_part(found["gel"], found["film"])
        return NextStep("wait", "Wet: leave it alone until it has gelled.", gel.latest)
    stand = recoat_stand(layer, found, now)
    if stand == "open":
        return _coat(layer, found, structural, touch)
    if stand == "before" and window(found) is not None:
        opens = found["recoat_opens"].latest
        return NextStep("wait", "Wait for the recoat window.", opens)
    if stand == "before" and found["recoat_opens"].at is not None:
        return _unsure(layer, found)
    return _prepare(layer, found, now)


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
    strip = "Strip the cover. " if layer.cover != "none" else ""
    if touch.no_transfer is None and structural and found["recoat_opens"].basis != "measured":
        return NextStep(
            "touch",
            f"{strip}The window is a forecast: touch it with a glove; no transfer, then the "
            "next layer goes on without abrading.",
            closes,
            (cautions.STRUCTURE,),
        )
    note = "" if touch.no_transfer is not None else " Test by glove first."
    return NextStep(
        "coat",
        f"{strip}The next layer can go on without abrading.{note}",
        closes,
        done.cautions,
    )


def _prepare(layer: Layer, found: dict[str, Milestone], now: float) -> NextStep:
    sandable = found["sandable"].latest
    work = preparation.prepare(layer.surface, "past", layer.cover)
    steps = ", then ".join(work.steps)
    because = f" ({work.reason})."
    if sandable is not None and now < sandable:
        return NextStep("wait", f"Wait until it is sandable, then {steps}{because}", sandable)
    return NextStep("prepare", f"Before the next layer: {steps}{because}", cautions=work.cautions)
