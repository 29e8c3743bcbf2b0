"""Estimate a roll: where every ply is cut, from which roll of the store, and what is wasted.

A ply is one piece. All come off one roll where one has the length free; else they are shared out
over as few as will do, and only a ply that is longer than what any roll has is told how to split.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from ...core.amounts import sentences as worded
from ...core.amounts.quantities import LENGTH
from ...core.errors import CureSheetMissing, Invalid
from ...core.estimates import joining, nesting
from ...core.estimates.laminate import TURNING, Fabric
from ...core.estimates.nesting import TENTH, Bed, Laid, Piece
from ...store.products import Product
from ...store.stock.lots import Lot
from ..cure import authority
from ..stock import reserve
from ..yard import finding, moments
from . import cut_pieces
from .cut_pieces import Named

MOST_ROLLS = 6
"""That one cut list is shared out over."""


@dataclass(frozen=True)
class Roll:
    """A roll of the store, or one to buy where there is no lot; free length in tenths of mm."""

    lot: Lot | None
    free: int
    last_day: date | None = None


Taken = list[tuple[Roll, list[Laid]]]


def roll(
    *,
    plies: Sequence[dict[str, Any]],
    now: int,
    product: str | None = None,
    width: Decimal | None = None,
    fabric: Fabric | None = None,
    job: str | None = None,
) -> dict[str, Any]:
    """Lay plies out on rolls of a product, or on any roll of a width. Nothing is kept.

    Args:
        fabric: without it, plies keep their direction. job: may take what is reserved for it.

    Raises:
        Invalid: no width, a ply wider than the roll, too many plies. UnknownReference.
        AuthorityMissing: as `authority.check_cuts`. JobClosed.
    """
    if job is not None:
        authority.check_cuts(finding.open_job(job, "/job"), now)
    cloth = None if product is None else finding.product(product, "/product")
    named = cut_pieces.read(plies, "plies", turns=fabric in TURNING)
    across = _width(cloth, width)
    cut_pieces.check_fit(
        named, Bed(10**9, across), f"roll {worded.size(across * TENTH)} wide", _WIDER
    )
    pieces = [each.piece for each in named.values()]
    rolls = [] if cloth is None else _rolls(cloth, job, moments.day_of(now))
    taken, splits = _share_out(pieces, rolls, across)
    length = sum(nesting.used(laid) for _, laid in taken)
    every = [each for _, laid in taken for each in laid]
    cut = cut_pieces.area(every, named)
    return {
        "product": cloth and cloth.code,
        "width": across * TENTH,
        "turn": "quarter" if fabric in TURNING else "half",
        "length": length * TENTH,
        "bound": sum(piece.length * piece.width for piece in pieces) / across * TENTH,
        "waste": length * across / 100 - cut,
        "waste_percent": round(100 * (1 - cut / (length * across / 100)), 1),
        "rolls": [_show(roll, laid, named) for roll, laid in taken],
        "splits": splits,
        "needs": [] if cloth is None else _needs(cloth, taken),
        "cautions": _cautions(fabric, cloth, taken, splits),
        "advice": _advice(cloth, taken, splits),
    }


_WIDER = (
    "Take a wider roll, or cut it in two with 50 mm of overlap and give the two; mat and balanced "
    "cloth may be turned: say the fabric."
)


def _width(cloth: Product | None, width: Decimal | None) -> int:
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
    """What the store has in date and not held, less what is kept for other jobs."""
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
) -> tuple[Taken, list[dict[str, Any]]]:
    """Rolls with what is cut from each, and the plies that would have to be split."""
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


def _splits(pieces: Sequence[Piece], rolls: Sequence[Roll], taken: Taken) -> list[dict[str, Any]]:
    """Which two rolls would do for each ply that is on no one of them."""
    cut = {roll.lot.id: nesting.used(laid) for roll, laid in taken if roll.lot}
    by_lot = {roll.lot.id: roll for roll in rolls if roll.lot}
    whole = {lot: roll.free for lot, roll in by_lot.items()}
    left = {lot: free - cut.get(lot, 0) for lot, free in whole.items()}
    found = []
    for piece in pieces:
        parts = joining.two_rolls(piece.length, left)
        alone = parts is None
        parts = parts or joining.two_rolls(piece.length, whole) or ()
        for lot, length in () if alone else parts:
            left[lot] -= length
        shown = [{**_lot(by_lot[lot]), "length": n * TENTH} for lot, n in parts]
        if parts:
            found.append(
                {"ply": piece.number, "overlap": joining.OVERLAP * TENTH,
                 "joints_apart": joining.APART * TENTH, "before_others": alone, "parts": shown}
            )  # fmt: skip
    return found


def _lot(roll: Roll) -> dict[str, Any]:
    row = roll.lot
    return {
        "lot": row and row.id,
        "number": row and row.number,
        "container": row and row.container,
    }


def _show(roll: Roll, laid: Sequence[Laid], named: Mapping[int, Named]) -> dict[str, Any]:
    return {
        **_lot(roll),
        "free": None if roll.lot is None else roll.free * TENTH,
        "length": nesting.used(laid) * TENTH,
        "cuts": [cut_pieces.show(each, named) for each in laid],
    }


def _needs(cloth: Product, taken: Taken) -> list[dict[str, Any]]:
    """Pieces over the whole width, each cut through no ply, so that each may be of any roll."""
    lengths = Counter(band for _, laid in taken for band in nesting.bands(laid))
    pieces = [
        {"length": (length * TENTH, LENGTH), "count": n}
        for length, n in sorted(lengths.items(), reverse=True)
    ]
    return [{"product": cloth.code, "pieces": pieces}]


def _cautions(
    fabric: Fabric | None, cloth: Product | None, taken: Taken, splits: Sequence[Any]
) -> list[str]:
    words = []
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


def _advice(cloth: Product | None, taken: Taken, splits: Sequence[Any]) -> list[str]:
    words = [_split_words(each) for each in splits]
    if cloth is not None and len([roll for roll, _ in taken if roll.lot]) > 1:
        words.append("No one roll has the whole length free: every ply still comes from one roll.")
    words.append("Mark each ply's number and the roll's direction on it before it is cut.")
    words.append("Keep the same face up; cloth with a mat on its back is never turned over.")
    return words


def _split_words(split: dict[str, Any]) -> str:
    apart = worded.size(joining.APART * TENTH)
    others = " Then the others come off other rolls." if split["before_others"] else ""
    first, second = (
        f"{worded.size(part['length'])} off lot {part['number']} ({part['container']})"
        for part in split["parts"]
    )
    return (
        f"Instead of a new roll, ply {split['ply']} could be split: {first} and {second}, "
        f"overlapped by {worded.size(joining.OVERLAP * TENTH)}; keep joints of adjacent "
        f"plies {apart} apart.{others}"
    )
