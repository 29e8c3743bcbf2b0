"""What a layup lacks before it is loaded, lifted or launched.

Hard for any; for structural work hardness at 90 % of the maker's least (ASTM C582, from memory) or
the whole post-cure. A polyester whose sheet names no least is held to 40, as class rules ask of a
hull (from memory; a supplier's data sheet of general-purpose polyester, maker not named, has 40
for the casting, by ASTM D2583).
"""

from __future__ import annotations

from dataclasses import dataclass

from .post_cure import PostCured

SHARE = 0.9
"""Of the maker's least hardness."""
HULL_LEAST = 40
"""Barcol, of a polyester whose maker's least nobody knows."""


@dataclass(frozen=True)
class State:
    """What is known of a layup that is to be handed over.

    Attributes:
        structural: whether it carries load; unknown counts as yes.
        hard: by a hand or by its clock, at the late edge of the band.
        hardness: last measured, on the Barcol scale, or None; at `hardness_at`, epoch s.
        asked: what it has to be, or None where nobody can say. post_cure: or None where the sheet
            asks for none.
    """

    structural: bool
    hard: bool
    hardness: float | None = None
    hardness_at: float = 0.0
    asked: float | None = None
    post_cure: PostCured | None = None


def asked(least: int | None, chemistry: str | None) -> float | None:
    """The hardness that is asked for, by the maker's least; None where nobody can say."""
    if least is not None:
        return SHARE * least
    return HULL_LEAST if chemistry == "polyester" else None


def hard_from(least: int | None, chemistry: str | None) -> float:
    """The least Barcol that says 'hard' at all: half of what is asked (common practice, no
    source).
    """
    return (asked(least, chemistry) or HULL_LEAST) / 2


def missing(state: State) -> list[str]:
    """What stands against handing it over, in words; nothing where it may go."""
    soft = _soft(state)
    if soft:
        return [soft]
    if _is_cured(state):
        return []
    found = [] if state.hard else ["it is not hard yet, by hand or by its clock"]
    return [*found, _unproven(state)] if state.structural else found


def _soft(state: State) -> str:
    """A hardness that is too little, unless a post-cure came after it."""
    if state.hardness is None or state.asked is None or state.hardness >= state.asked:
        return ""
    done_at = None if state.post_cure is None else state.post_cure.done_at
    if done_at is not None and done_at > state.hardness_at:
        return ""
    return f"Barcol {state.hardness:.1f} was measured, and at least {state.asked:.1f} is asked for"


def _is_cured(state: State) -> bool:
    if state.post_cure is not None and state.post_cure.done_at is not None:
        return True
    return state.hardness is not None and state.asked is not None and state.hardness >= state.asked


def _unproven(state: State) -> str:
    """What structural work lacks: a hardness that is enough, or the post-cure."""
    if state.asked is None:
        word = "the maker's least hardness is not known, so none can be judged"
    else:
        word = f"structural, with no hardness on record: at least Barcol {state.asked:.1f}"
    return word if state.post_cure is None else f"{word}; {state.post_cure.said()}"
