"""Handing over: what a layup still lacks before it is loaded, lifted or launched.

Every layup must be hard. Structural work also needs 90 % of the maker's least hardness (ASTM C582,
from memory) or the whole post-cure. Where the sheet gives no hardness, a wipe with solvent that
leaves it hard is enough (common practice, no source). What cures by moisture must be cured
through; of structural work a hand cuts an edge to see (common practice, no source). A polyester
whose sheet gives none and that was measured must have Barcol 40, as class rules ask of a hull (from
memory; the data sheet of a general-purpose polyester, maker not named, gives 40 for the casting, by
ASTM D2583).
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from ..frozen import frozen
from ..products import hardness
from ..products.hardness import USUAL, Figure, Scale
from ..words import Text, say
from .post_cure import PostCured

Withheld = Literal["", "soft", "heat"]

SHARE = 0.9
"""The share of the maker's least hardness that is needed."""
HULL_LEAST = 40
"""Barcol 934-1 that is needed of a polyester whose sheet gives no least hardness."""


@frozen
class State:
    """A layup that is to be handed over.

    Attributes:
        structural: whether it carries load; unknown counts as yes.
        hard: whether it is hard, by a hand or by the late edge of its clock's band.
        hardness: last measured on the scale that is asked for, or None; at `hardness_at`, epoch s.
        needed: the least hardness that is needed on `scale`, or None if that is not known.
        on_sheet: whether the sheet gives it.
        post_cure: None where the sheet asks for none. unfit: why the post-cure does not count.
        wiped: whether it was last wiped with solvent and stayed hard.
        gel_coat: whether it is a gel coat itself; else a hardness read on gel coat proves nothing.
        by_moisture: whether it cures by moisture: then it is `hard` once it is cured through.
        cut: whether a hand cut an edge of that, and found it cured through.
    """

    structural: bool
    hard: bool
    hardness: Figure | None = None
    hardness_at: float = 0.0
    needed: float | None = None
    scale: Scale = USUAL
    on_sheet: bool = True
    post_cure: PostCured | None = None
    unfit: str = ""
    wiped: bool = False
    gel_coat: bool = False
    by_moisture: bool = False
    cut: bool = False

    @property
    def proof(self) -> Figure | None:
        """The hardness, if it can prove something of the layup."""
        read = self.hardness
        proves = read is not None and can_prove(
            read, structural=self.structural, gel_coat=self.gel_coat
        )
        return read if proves else None

    @property
    def heated(self) -> float | None:
        """When its post-cure was whole, if that counts; epoch s."""
        return None if self.post_cure is None or self.unfit else self.post_cure.done_at


def can_prove(read: Figure, *, structural: bool, gel_coat: bool) -> bool:
    """Whether a hardness is of the layup itself; of structural work, of ten readings or more."""
    if structural and not read.is_of_readings:
        return False
    return gel_coat or not read.on_gel_coat


def counted(
    reads: Sequence[Figure], needed: float | None, *, structural: bool, gel_coat: bool
) -> int | None:
    """The place of the hardness that counts: the last, but what was found too soft stays so until
    one that can prove something is enough; None without any.

    Args:
        reads: on the scale that is asked for, oldest first. needed: or None if that is not known.
    """
    found: int | None = None
    soft = False
    for place, read in enumerate(reads):
        is_soft = needed is not None and read.mean < needed
        if is_soft or not soft or can_prove(read, structural=structural, gel_coat=gel_coat):
            found, soft = place, is_soft
    return found


def needed(least: int | None, chemistry: str | None) -> float | None:
    """The hardness that is needed; None if that is not known.

    Args:
        least: the maker's, on the sheet's scale; without it the answer is of Barcol 934-1.
        chemistry: of the resin.
    """
    if least is not None:
        return SHARE * least
    return HULL_LEAST if chemistry == "polyester" else None


def hard_from(least: int | None, chemistry: str | None) -> float:
    """The least reading that counts as hard: half of what is needed (common practice, no
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
    if state.by_moisture and not state.on_sheet:
        return _not_through(state)
    found: list[Text] = [] if state.hard else ["it is not hard yet, by hand or by its clock"]
    return [*found, _unproven(state)] if state.structural else found


def withheld(state: State) -> Withheld:
    """What is known to lack before it may be called cured, whatever the clock says.

    `soft`: the last hardness was too low, and no whole post-cure came after it. `heat`: its
    post-cure is not whole, and it has no proof; of what carries no load only once that was begun.
    """
    if _soft(state):
        return "soft"
    heat = state.post_cure
    if heat is None or state.heated is not None or _is_cured(state):
        return ""
    return "heat" if state.structural or heat.measured else ""


def doubt(state: State) -> str:
    """A caution on a hardness that is not surely enough; empty where it is, or heat answers."""
    read = state.hardness
    if read is None or state.needed is None or _heated_since(state):
        return ""
    if not read.is_near(state.needed):
        return ""
    return f"{read.words} is within one s/√n of {state.needed:.1f}. {hardness.MORE}"


def _soft(state: State) -> str:
    """The reason if its hardness was too low and no post-cure came after that; else empty."""
    read = state.hardness
    if read is None or state.needed is None or read.mean >= state.needed or _heated_since(state):
        return ""
    least = hardness.on(state.scale, state.needed)
    return f"{hardness.on(read.scale, read.mean)} was measured, and at least {least} is needed"


def _heated_since(state: State) -> bool:
    return state.heated is not None and state.heated > state.hardness_at


def _is_cured(state: State) -> bool:
    if state.heated is not None:
        return True
    if state.proof is not None and state.needed is not None:
        return state.proof.mean >= state.needed
    return state.wiped and not state.on_sheet


def _not_through(state: State) -> list[Text]:
    """What a bead still lacks: no instrument reads its hardness, and solvent swells it."""
    if not state.hard:
        return ["it is not cured through yet, by its clock"]
    if state.structural and not state.cut:
        return ["structural work, and nobody cut an edge to see that it is cured through"]
    return []


def _unproven(state: State) -> Text:
    """The reason if structural work has neither a sufficient hardness nor its post-cure."""
    if not state.on_sheet:
        hull = "" if state.needed is None else f", or {hardness.on(state.scale, state.needed)}"
        hull += _of_readings(state) if hull else ""
        word = "structural work, and its sheet gives no hardness: it needs a whole post-cure, a "
        word += f"wipe with solvent that leaves it hard{hull}"
    elif state.needed is None:
        word = "the maker's least hardness is not known, so a reading can't be judged"
    else:
        least = hardness.on(state.scale, state.needed)
        word = f"structural work, with {_on_record(state)} on record: at least {least} is needed"
        word += _of_readings(state)
    if state.post_cure is None:
        return word
    unfit = f", but {state.unfit}" if state.unfit else ""
    return say("{}; {}{}", word, state.post_cure.words(), unfit)


def _on_record(state: State) -> str:
    """The hardness that is on record and proves nothing."""
    read = state.hardness
    if read is None:
        return "no hardness"
    alone = read.on_gel_coat and not state.gel_coat
    return "a hardness of its gel coat alone" if alone else "a hardness of one value alone"


def _of_readings(state: State) -> str:
    """What else is asked of a hardness that is one value."""
    if state.hardness is None or state.hardness.is_of_readings:
        return ""
    return f", by {hardness.FEWEST} to {hardness.MOST} readings"
