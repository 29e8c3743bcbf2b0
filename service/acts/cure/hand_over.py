"""Check a layup before it is handed over: it must be hard, and a lead signs structural work off."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from ...core.cure import handing_over
from ...core.cure.handing_over import State
from ...core.errors import Invalid, NotCured
from ...core.products import hardness
from ...core.products.hardness import Scale
from ...core.words import Text, joined, say
from ...store.cure.layups import Layup, LayupObservation
from ...store.yard.hands import Hand
from ..yard import permissions
from . import gate_facts, proof, watch
from .proof import Asked
from .watch import Watched


def check(row: Layup, at: int, override: Mapping[str, str] | None, now: int, hand: Hand) -> None:
    """Refuse a layup that is not cured; record a refusal that an override sets aside.

    Args:
        at: when it is handed over, epoch s; observations up to then count.

    Raises:
        NotAllowed: structural work, or an override, and not by a lead.
        NotCured: something is missing, and nobody overrides.
    """
    if row.job.structural != "no":
        hand.must_be("lead", "To hand over structural work")
    state = state_of(row, at, now)
    found = handing_over.missing(state)
    reason = permissions.reason_of(override, hand) if found else None
    if found and reason is None:
        raise _refused(row, found, state)
    if reason is not None:
        permissions.overridden(
            NotCured.slug,
            reason,
            say("layup {}, {}: {}", row.id, row.title, joined("; ", found)),
            now=now,
            hand=hand,
            layup_id=row.id,
            job_id=row.job.id,
        )


def doubts(watched: Watched, asked: Asked | None = None) -> list[str]:
    """Warnings on a hardness near the least, and on one too soft of what was handed over."""
    asked = asked or Asked()
    read = _counted(watched, asked)
    found = gate_facts.hardness_of(watched, read)
    least, scale = asked.least(watched.row, watched.layer.sheet)
    needed = handing_over.needed(least, watched.row.product.chemistry)
    if needed is None or read is None or found is None:
        return []
    state = State(
        structural=True, hard=True, hardness=found, needed=needed, post_cure=watched.post_cure,
        hardness_at=float(read.at),
    )  # fmt: skip
    near = handing_over.doubt(state)
    words = [f"Hardness {near}"] if near else []
    over = any(each.kind == "handed_over" for each in watched.believed)
    if found.mean >= needed or not over:
        return words
    least_words = hardness.on(scale, needed)
    return [
        *words,
        f"{hardness.on(scale, found.mean)} was measured, {least_words} is needed to hand it over, "
        "and it was handed over: tell whoever has it. It is not to be loaded, lifted or launched.",
    ]


def least_of(row: Layup, now: int) -> tuple[int | None, Scale]:
    """The maker's least hardness of a layup, or None, and the scale that it is measured on."""
    return Asked().least(row, watch.watch(row, now).layer.sheet)


def doubts_of(row: Layup, kind: str, now: int) -> list[str]:
    """As `doubts`, after an observation of that kind; and a word on a hardness of one value."""
    if kind != "hardness":
        return []
    watched = watch.watch(row, now)
    return [*one_value(watched), *doubts(watched)]


def one_value(watched: Watched) -> list[str]:
    """A word on structural work whose last hardness, just noted, is one value."""
    last = [each for each in watched.seen if each.kind == "hardness"][-1:]
    alone = [each for each in last if each.readings is None]
    return [hardness.ONE_VALUE] if alone and watched.row.job.structural != "no" else []


def check_scale(row: Layup, scale: Scale | None, now: int) -> Scale:
    """The scale of a hardness that is noted: the named one, else the sheet's, else Barcol 934-1.

    Raises: Invalid: the sheet's least is on another scale.
    """
    least, wanted = least_of(row, now)
    if scale is None or scale == wanted:
        return wanted
    if least is None:
        return scale
    raise Invalid(
        f"The hardness is on {hardness.WORDS[scale]}, and the least on {row.product.code}'s sheet "
        f"on {hardness.WORDS[wanted]}: unlike scales can't be compared.",
        advice=f"Measure it on {hardness.WORDS[wanted]}, or correct the sheet's 'hardness_scale'.",
        pointer="/scale",
    )


def state_of(row: Layup, at: int, now: int) -> State:
    """What is known of a layup that is to be handed over at a moment, epoch s."""
    watched, today, asked = watch.as_it_stood(row, at), watch.as_it_stood(row, now), Asked()
    wet = today.touch.not_gelled is not None  # then it was wet when it left, too
    seen = None if wet else _hardness(watched, today, asked)
    found = _state(watched, asked, seen, at)
    return replace(found, hard=False, wiped=False) if wet else found


def as_watched(watched: Watched, asked: Asked, now: int) -> State:
    """As `state_of`, of a layup as it is now."""
    return _state(watched, asked, _counted(watched, asked), now)


def _state(watched: Watched, asked: Asked, seen: LayupObservation | None, at: int) -> State:
    figure = gate_facts.hardness_of(watched, seen)
    read = None if figure is None or seen is None else (figure, float(seen.at))
    return proof.state(
        watched.row,
        watched.layer,
        watched.touch,
        watched.post_cure,
        read,
        asked,
        hard=_is_hard(watched, at),
    )


def _hardness(then: Watched, today: Watched, asked: Asked) -> LayupObservation | None:
    """The hardness that counted at a moment; if it was found softer since, it was that soft then.

    What is enough since then heals nothing: it was handed over before.
    """
    own, (_, scale) = _counted(then, asked), asked.least(then.row, then.layer.sheet)
    if own is None:
        return None
    known = {each.id for each in then.believed}
    later = [each for each in proof.on_scale(today.believed, scale) if each.id not in known]
    return min([own, *later], key=_value)


def _counted(watched: Watched, asked: Asked) -> LayupObservation | None:
    return proof.counted(watched.row, watched.layer.sheet, watched.believed, asked)


def _value(seen: LayupObservation) -> int:
    return seen.value or 0


def _is_hard(watched: Watched, at: int) -> bool:
    """Whether a hand found it hard, or else the clock says so and it is sound."""
    if watched.moisture is not None:
        return watched.found["through"].reached(at)
    if watched.touch.sandable is not None:
        return True
    return watched.unsound is None and watch.ground_of(watched).ready <= at


def _refused(row: Layup, found: list[Text], state: State) -> NotCured:
    product = row.product.code
    if state.by_moisture and not state.on_sheet:
        proof = "Wait until it is cured through, cut an edge to see, and note it as a 'thumbnail'."
    else:
        proof = (
            "Take 10 to 30 readings and note them as a 'hardness' (the maker's least is on "
            f"{product}'s cure sheet, as 'hardness_min'), or post-cure it by the maker's sheet."
        )
    return NotCured(
        say("Layup {}, {}, is not handed over: {}.", row.id, row.title, joined("; ", found)),
        advice=f"{proof} Or give an 'override' with a reason, which stays on record.",
        layup=row.id,
        missing=found,
    )
