"""Estimate a roll: the place of every ply, the rolls of the store that are cut, and the waste.

A ply is one piece. All come off one roll where one has the length free; else they are shared out
over as few rolls as will do. Only a ply that is longer than any roll has free gets advice on how
to split it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Annotated, Any, Literal

from ...core.amounts.quantities import AREA, LENGTH, SIZE
from ...core.amounts.sentences import size
from ...core.amounts.views import Code, View
from ...core.errors import CureSheetMissing, Invalid
from ...core.estimates import cut_list, joining, nesting
from ...core.estimates.cut_list import LaidView, Named
from ...core.estimates.laminate import TURNING, Fabric
from ...core.estimates.nesting import TENTH, Bed, Laid, Piece
from ...core.frozen import frozen
from ...core.words import Text, say
from ...store.products import Product
from ...store.stock.lots import Lot
from ..cure import authority
from ..stock import reserve
from ..yard import finding, moments
from .needed import Needs, PiecesNeeded, pieces_needed

MOST_ROLLS = 6
"""The most rolls that one cut list is shared out over."""


@frozen
class RollUsedView(View):
    """A roll of the store, or without a lot one to buy, and its cuts."""

    lot: int | None
    number: Code | None
    container: str | None
    free: Annotated[int, LENGTH] | None
    length: Annotated[int, LENGTH]
    cuts: list[LaidView]


@frozen
class HalfView(View):
    """So much of a roll for one half of a ply."""

    lot: int
    number: Code
    container: str
    length: Annotated[int, SIZE]


@frozen
class SplitPlyView(View):
    """A ply that is on no one roll, and the two that would do if it were split.

    `before_others` says that they do only if no other ply of the list is cut from them.
    """

    ply: int
    overlap: Annotated[int, SIZE]
    joints_apart: Annotated[int, SIZE]
    before_others: bool
    parts: list[HalfView]


@frozen
class RollView(View):
    """The cut list; `bound` is the length that the pieces' rectangles alone would fill."""

    product: Code | None
    width: Annotated[int, SIZE]
    turn: Literal["quarter", "half"]
    length: Annotated[int, LENGTH]
    bound: Annotated[float, LENGTH]
    waste: Annotated[float, AREA]
    waste_percent: float
    rolls: list[RollUsedView]
    splits: list[SplitPlyView]
    needs: Needs
    cautions: list[Text]
    advice: list[Text]


@frozen
class Roll:
    """A roll of the store, or one to buy where there is no lot; free length in tenths of mm."""

    lot: Lot | None
    free: int
    last_day: date | None = None


Taken = list[tuple[Roll, list[Laid]]]


def roll(
    *,
    plies: Sequence[Mapping[str, Any]],
    now: int,
    product: str | None = None,
    width: float | None = None,
    fabric: Fabric | None = None,
    job: str | None = None,
) -> RollView:
    """Lay plies out on rolls of a product, or on any roll of a width in µm. Nothing is kept.

    Args:
        plies: as `cut_list.read` takes them.
        fabric: without it, plies keep their direction. job: may take stock reserved for it.

    Raises:
        Invalid: no width, a ply wider than the roll, too many plies. UnknownReference.
        AuthorityMissing: as `authority.check_cuts`. JobClosed.
    """
    if job is not None:
        authority.check_cuts(finding.open_job(job, "/job"), now)
    cloth = None if product is None else finding.product(product, "/product")
    named = cut_list.read(plies, "plies", turns=fabric in TURNING)
    across = _width(cloth, width)
    cut_list.check_fit(named, Bed(10**9, across), say("roll {} wide", size(across * TENTH)), _WIDER)
    pieces = [each.piece for each in named.values()]
    rolls = [] if cloth is None else _rolls(cloth, job, moments.day_of(now))
    taken, splits = _share_out(pieces, rolls, across)
    length = sum(nesting.used(laid) for _, laid in taken)
    every = [each for _, laid in taken for each in laid]
    cut = cut_list.area(every, named)
    return RollView(
        product=cloth and cloth.code,
        width=across * TENTH,
        turn="quarter" if fabric in TURNING else "half",
        length=length * TENTH,
        bound=sum(piece.length * piece.width for piece in pieces) / across * TENTH,
        waste=length * across / 100 - cut,
        waste_percent=round(100 * (1 - cut / (length * across / 100)), 1),
        rolls=[_show(roll, laid, named) for roll, laid in taken],
        splits=splits,
        needs=[] if cloth is None else [_needed(cloth, taken)],
        cautions=_cautions(fabric, cloth, taken, splits),
        advice=_advice(cloth, taken, splits),
    )


_WIDER = (
    "Take a wider roll, or cut it in two with 50 mm of overlap and give the two; mat and balanced "
    "cloth may be turned: say the fabric."
)


def _width(cloth: Product | None, width: float | None) -> int:
    if cloth is not None and cloth.measure != "length":
        raise Invalid(f"{cloth.code} is not a roll.", advice="Name a roll.", pointer="/product")
    size = width if width is not None else cloth and cloth.width_um
    if not size and cloth is None:
        raise Invalid("The roll's width is missing.", advice="Name a product, or give the width.")
    if not size:
        raise CureSheetMissing(
            f"{cloth.code if cloth else 'The roll'} has no width.",
            advice="Set the product's width, or give it here.",
            pointer="/product",
        )
    return max(int(size) // TENTH, 1)


def _rolls(cloth: Product, job: str | None, today: date) -> list[Roll]:
    """The rolls in date and not held, less the lengths that are kept for other jobs."""
    own = None if job is None else finding.open_job(job, "/job").id
    reserved = reserve.of_product(cloth, today)
    others = reserved.by_lot(but=own)
    found = [
        Roll(reserved.rows[lot.id], (lot.on_hand - others[lot.id]) // TENTH, lot.last_day)
        for lot in reserved.lots
        if lot.last_day is None or lot.last_day >= today
    ]
    return [each for each in found if each.free > 0]


def _share_out(
    pieces: Sequence[Piece], rolls: Sequence[Roll], width: int
) -> tuple[Taken, list[SplitPlyView]]:
    """Rolls with the pieces cut from each, and the plies that would have to be split."""
    laid = nesting.unrolled(pieces, width)
    enough = [each for each in rolls if each.free >= nesting.used(laid)]
    if enough or not rolls:
        first = min(enough, key=lambda r: (r.last_day or date.max, r.free), default=Roll(None, 0))
        return [(first, laid)], []
    taken: Taken = []
    left = list(pieces)
    for each in sorted(rolls, key=lambda r: -r.free)[:MOST_ROLLS]:
        found = nesting.fill(Bed(each.free, width), left)
        if found:
            taken.append((each, found))
            left = nesting.left_out(left, found)
    splits = _splits(left, rolls, taken)
    if left:
        taken.append((Roll(None, 0), nesting.unrolled(left, width)))
    return taken, splits


def _splits(pieces: Sequence[Piece], rolls: Sequence[Roll], taken: Taken) -> list[SplitPlyView]:
    """The two rolls that would do for each ply that no one roll has room for."""
    cut = {roll.lot.id: nesting.used(laid) for roll, laid in taken if roll.lot}
    by_lot = {roll.lot.id: roll.lot for roll in rolls if roll.lot}
    whole = {roll.lot.id: roll.free for roll in rolls if roll.lot}
    left = {lot: free - cut.get(lot, 0) for lot, free in whole.items()}
    found = []
    for piece in pieces:
        parts = joining.two_rolls(piece.length, left)
        alone = parts is None
        parts = parts or joining.two_rolls(piece.length, whole) or ()
        for lot, length in () if alone else parts:
            left[lot] -= length
        halves = [_half(by_lot[lot], length) for lot, length in parts]
        if halves:
            overlap, apart = joining.OVERLAP * TENTH, joining.APART * TENTH
            found.append(SplitPlyView(piece.number, overlap, apart, alone, halves))
    return found


def _half(lot: Lot, length: int) -> HalfView:
    return HalfView(lot.id, lot.number, lot.container, length * TENTH)


def _show(roll: Roll, laid: Sequence[Laid], named: Mapping[int, Named]) -> RollUsedView:
    lot = roll.lot
    return RollUsedView(
        lot=lot and lot.id,
        number=lot and lot.number,
        container=lot and lot.container,
        free=None if lot is None else roll.free * TENTH,
        length=nesting.used(laid) * TENTH,
        cuts=[cut_list.show(each, named) for each in laid],
    )


def _needed(cloth: Product, taken: Taken) -> PiecesNeeded:
    """Pieces over the whole width; no cut goes through a ply, so each may come from any roll."""
    bands = (band for _, laid in taken for band in nesting.bands(laid))
    return pieces_needed(cloth, (band * TENTH for band in bands))


def _cautions(
    fabric: Fabric | None, cloth: Product | None, taken: Taken, splits: Sequence[SplitPlyView]
) -> list[Text]:
    words: list[Text] = []
    if fabric == "woven" and any(each.turned for _, laid in taken for each in laid):
        words.append("Turn a ply only if the cloth has the same fibre both ways.")
    if cloth is not None and any(roll.lot is None for roll, _ in taken):
        words.append(
            f"No roll of {cloth.code} that is free has room for every ply: the last part of the "
            "list is for one to buy."
        )
    if splits and fabric != "mat":
        words.append("The overlap is the class rules' for mats: for other cloth ask the designer.")
    return words


def _advice(cloth: Product | None, taken: Taken, splits: Sequence[SplitPlyView]) -> list[Text]:
    words = [_split_words(each) for each in splits]
    if cloth is not None and len([roll for roll, _ in taken if roll.lot]) > 1:
        words.append("No one roll has the whole length free: every ply still comes from one roll.")
    words.append("Mark each ply's number and the roll's direction on it before it is cut.")
    words.append("Keep the same face up; cloth with a mat on its back is never turned over.")
    return words


def _split_words(split: SplitPlyView) -> Text:
    others = " Then the others come off other rolls." if split.before_others else ""
    first, second = (
        say("{} off lot {} ({})", size(part.length), part.number, part.container)
        for part in split.parts
    )
    return say(
        "Instead of a new roll, ply {} could be split: {} and {}, overlapped by {}; keep joints of "
        "adjacent plies {} apart.{}",
        split.ply,
        first,
        second,
        size(joining.OVERLAP * TENTH),
        size(joining.APART * TENTH),
        others,
    )
