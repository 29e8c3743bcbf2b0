"""Handing over: what a layup still lacks before it is loaded, lifted or launched.

Every layup must be hard. Structural work also needs 90 % of the maker's least hardness (ASTM C582,
from memory) or the whole post-cure. A polyester whose sheet gives no least hardness must have
Barcol 40, as class rules ask of a hull (from memory; the data sheet of a general-purpose polyester,
maker not named, gives 40 for the casting, by ASTM D2583).
"""

from __future__ import annotations

from dataclasses import dataclass

from ..words import Text, say
from .post_cure import PostCured

SHARE = 0.9
"""The share of the maker's least hardness that is needed."""
HULL_LEAST = 40
"""Barcol that is needed of a polyester whose sheet gives no least hardness."""


@dataclass(frozen=True)
class State:
    """A layup that is to be handed over.

    Attributes:
        structural: whether it carries load; unknown counts as yes.
        hard: whether it is hard, by a hand or by the late edge of its clock's band.
        hardness: last measured, on the Barcol scale, or None; at `hardness_at`, epoch s.
        needed: the least hardness that is needed, or None if that is not known.
        post_cure: None where the sheet asks for none.
    """

    structural: bool
    hard: bool
    hardness: float | None = None
    hardness_at: float = 0.0
    needed: float | None = None
    post_cure: PostCured | None = None


def needed(least: int | None, chemistry: str | None) -> float | None:
    """The Barcol hardness that is needed; None if that is not known.

    Args:
        least: the maker's. chemistry: of the resin.
    """
    if least is not None:
        return SHARE * least
    return HULL_LEAST if chemistry == "polyester" else None


def hard_from(least: int | None, chemistry: str | None) -> float:
    """The least Barcol reading that counts as hard: half of what is needed (common practice, no
    source).
    """
    return (needed(least, chemistry) or HULL_LEAST) / 2


def missing(state: State) -> list[Text]:
    """The reasons not to hand it over, in words; none if it may go."""
    soft = _soft(state)
    if soft:
        return [soft]
    if _is_cured(state):
        return []
    found: list[Text] = [] if state.hard else ["it is not hard yet, by hand or by its clock"]
    return [*found, _unproven(state)] if state.structural else found


def _soft(state: State) -> str:
    """The reason if its hardness was too low and no post-cure came after that; else empty."""
    if state.hardness is None or state.needed is None or state.hardness >= state.needed:
        return ""
    done_at = None if state.post_cure is None else state.post_cure.done_at
    if done_at is not None and done_at > state.hardness_at:
        return ""
    return f"Barcol {state.hardness:.1f} was measured, and at least {state.needed:.1f} is needed"


def _is_cured(state: State) -> bool:
    if state.post_cure is not None and state.post_cure.done_at is not None:
        return True
    return (
        state.hardness is not None and state.needed is not None and state.hardness >= state.needed
    )


def _unproven(state: State) -> Text:
    """The reason if structural work has neither a sufficient hardness nor its post-cure."""
    if state.needed is None:
        word = "the maker's least hardness is not known, so a reading can't be judged"
    else:
        least = f"at least Barcol {state.needed:.1f} is needed"
        word = f"structural work, with no hardness on record: {least}"
    return word if state.post_cure is None else say("{}; {}", word, state.post_cure.words())
