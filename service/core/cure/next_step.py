"""The next thing to do with a layup: wait, touch, coat, prepare, heat or probe it.

A forecast stays a forecast until a hand has touched the part.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Literal

from ..amounts.sentences import heat as amount
from ..amounts.sentences import utc
from ..frozen import frozen
from ..products import cautions
from ..words import Text, say
from . import recoat
from .layer import Layer
from .milestones import Milestone, on_part
from .night import ColdAhead
from .recoat import Stand
from .signs import Sign
from .touch import Touch

Action = Literal["wait", "touch", "coat", "prepare", "heat", "probe", "none"]
Clock = Callable[[float], str]
"""Shows a moment (epoch s) as a clock time."""


@frozen
class NextStep:
    """The action, in words, and the moment that it depends on (epoch s; not in the words)."""

    action: Action
    text: Text
    at: float | None = None
    cautions: tuple[str, ...] = ()


def next_step(
    layer: Layer,
    found: dict[str, Milestone],
    shown: tuple[Sign, ...],
    now: float,
    *,
    structural: bool,
    touch: Touch,
    cold: ColdAhead | None = None,
    clock: Clock = utc,
) -> NextStep:
    """The next thing to do with a layup.

    Args:
        found: its milestones as corrected by hands. shown: its signs. now: epoch s.
        structural: whether its job carries load; unknown counts as yes.
        cold: the cold that `night.cold_ahead` found, while the layup is not hard yet.
        clock: shows a moment.
    """
    first = finished(touch) if "finished" in shown else _trouble(shown, touch, cold, clock)
    if first is not None:
        return first
    if "wet" in shown or "gelling" in shown:
        return _gelling(found) if cold is None else _heat(cold, clock)
    stand = recoat.stand(found, now)
    if touch.not_gelled is not None:
        return _feel_again(found, stand)
    by_glove = stand == "open" and touch.no_transfer is not None
    if cold is not None and not by_glove:
        return _heat(cold, clock)
    if touch.abraded:
        return _abraded(layer)
    if stand == "open":
        coat = _coat(layer, found, structural, touch)
        return coat if cold is None else _and_heat(coat, _heat(cold, clock))
    return _outside_window(layer, found, touch, now, stand)


def finished(touch: Touch) -> NextStep:
    """The step of a layup that nobody watches any more."""
    if touch.scraped_off is not None:
        return NextStep("none", "Scraped off: nothing more is watched.")
    return NextStep("none", "Finished: nothing more is watched.")


def _trouble(
    shown: tuple[Sign, ...], touch: Touch, cold: ColdAhead | None, clock: Clock
) -> NextStep | None:
    """The step that comes before all others; None where it is not in trouble."""
    covered = " Everything that lies on it comes off with it." if touch.ended is not None else ""
    if "suspect" in shown:
        return NextStep(
            "probe",
            "Suspect no catalyst or a wrong ratio: do not cover it. Probe it; scrape it off."
            + covered,
        )
    if "cold_stalled" in shown:
        held = "" if cold is None else say(" and {}", cold.remedy(clock))
        return NextStep(
            "heat",
            say(
                "Stalled cold: heat it{}, then check hardness or wipe with solvent before anything "
                "goes on it.",
                held,
            ),
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
    return unsettled() if "unsettled" in shown else None


def unsettled() -> NextStep:
    """The step of a layup that was covered or left unsound."""
    return NextStep(
        "probe",
        "It was covered or left while it was not sound. Find out what became of it, and note "
        "it: gelled, a hardness, or scraped off.",
    )


def _gelling(found: dict[str, Milestone]) -> NextStep:
    gel = on_part(found["gel"], found["film"])
    return NextStep("wait", "Wet: leave it alone until it has gelled.", gel.latest)


def _feel_again(found: dict[str, Milestone], stand: Stand) -> NextStep:
    """It should have gelled by now, but was wet when a hand last felt it."""
    return NextStep(
        "touch",
        "Wet when a hand last felt it: feel it again with a glove before anything goes on it, and "
        "note what you find.",
        held[1] if stand == "open" and (held := recoat.window(found)) else None,
    )


def _heat(cold: ColdAhead, clock: Clock) -> NextStep:
    floor, remedy = amount(cold.floor, 0), cold.remedy(clock)
    return NextStep(
        "heat",
        say("It goes under {} before it is hard: {}.", floor, remedy),
        cold.cold_from,
        (cautions.HEAT,),
    )


def _and_heat(coat: NextStep, heat: NextStep) -> NextStep:
    """A glove shows that the window is open now; the cold is still to come."""
    text = say("{} {}", coat.text, heat.text)
    return replace(coat, text=text, cautions=(*coat.cautions, *heat.cautions))


def _abraded(layer: Layer) -> NextStep:
    past = recoat.prepare(layer.surface, "past", layer.cover)
    return NextStep(
        "coat",
        "Abraded: take off the dust, and it is ready to be covered, the same day.",
        cautions=past.cautions,
    )


def _coat(layer: Layer, found: dict[str, Milestone], structural: bool, touch: Touch) -> NextStep:
    held = recoat.window(found)
    closes = None if held is None else held[1]
    first = _first_off(layer, touch)
    if recoat.needs_touch(found, felt=touch.felt, structural=structural):
        return NextStep(
            "touch",
            f"{first}The window is a forecast: touch it with a glove. If nothing transfers, the "
            "next layer goes on without abrading.",
            closes,
            (cautions.STRUCTURE,),
        )
    note = "" if touch.felt else " Test by glove first."
    note = note if touch.green is None else " Touch it again if it is still bare then."
    return NextStep(
        "coat",
        f"{first}The next layer can go on without abrading.{note}",
        closes,
        recoat.prepare(layer.surface, "open", layer.cover).cautions,
    )


def _first_off(layer: Layer, touch: Touch) -> str:
    """What comes off a face before it is covered, as sentences."""
    first = "Strip the cover. " if layer.cover != "none" else ""
    return first + ("Wash off the blush with water and a pad, dry. " if touch.blush else "")


def _outside_window(
    layer: Layer, found: dict[str, Milestone], touch: Touch, now: float, stand: Stand
) -> NextStep:
    held, opens = recoat.window(found), found["recoat_opens"].at
    if stand == "touch":
        return _touch(layer, found, touch, now)
    if stand == "before" and held is not None:
        return NextStep("wait", "Wait for the recoat window.", held[0])
    if stand == "before" and opens is not None:
        return NextStep(
            "wait", "Wait; then touch it: no moment is surely inside the recoat window.", opens
        )
    return _prepare(layer, found, touch, now)


def _touch(layer: Layer, found: dict[str, Milestone], touch: Touch, now: float) -> NextStep:
    """Near an end of the window, or where no moment is surely inside it, a hand finds out."""
    held, likely = recoat.window(found), recoat.touch_window(found)
    first, past = _first_off(layer, touch), recoat.prepare(layer.surface, "past", layer.cover)
    closes = None if likely is None else likely[1]
    glove = "touch it with a glove: if nothing transfers, the next layer can go on at once"
    late = recoat.green_test(layer.surface)
    steps = ", then ".join(past.steps)
    if held is not None and now < held[0]:
        return NextStep("touch", f"{first}It may be open already: {glove}.", held[0])
    if held is not None:
        text = (
            f"{first}It may have shut. To find out, {late}. If green, cover it now; else {steps}."
        )
        # No hour: until a likely end is no promise, and the test is not the glove's.
        return NextStep("touch", text, cautions=past.cautions)
    text = f"{first}The window is short: {glove}. Late in it, {late}. If not green, {steps}."
    return NextStep("touch", text, closes, past.cautions)


def _prepare(layer: Layer, found: dict[str, Milestone], touch: Touch, now: float) -> NextStep:
    sandable = found["sandable"].latest
    work = recoat.prepare(layer.surface, "past", layer.cover)
    left = recoat.left_to_do(
        work.steps,
        hard=touch.hard is not None,
        wiped=touch.wiped is not None,
        blush=touch.blush is not None,
    )
    steps = ", then ".join(left)
    because = f" ({work.reason})."
    if sandable is not None and now < sandable:
        return NextStep("wait", f"Wait until it is sandable, then {steps}{because}", sandable)
    return NextStep("prepare", f"Before the next layer: {steps}{because}", cautions=work.cautions)
