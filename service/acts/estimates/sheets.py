"""Estimate sheet goods: pieces on the offcuts that the store has, then on whole sheets."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from typing import Annotated, Any

from ...core.amounts.quantities import AREA, COUNT, SIZE, Kind
from ...core.amounts.views import Again, Code, View
from ...core.errors import CureSheetMissing, Invalid
from ...core.estimates import cut_list, nesting
from ...core.estimates.cut_list import LaidView, Named
from ...core.estimates.nesting import TENTH, Bed, Laid
from ...core.estimates.offcuts import PIECE, Offcut, offcuts, share
from ...core.frozen import frozen
from ...core.words import Text
from ...store.products import Product
from ...store.stock.jobs import Job
from ...store.stock.lots import Lot, is_offcut
from ..cure import authority
from ..stock import reserve
from ..stock.lot_life import on_shelf
from ..yard import finding, moments
from .needed import AmountNeeded, Needs

USUAL_KERF = 3000.0
"""The kerf of a circular saw, µm: common practice, no source."""

WIDEST_KERF = 50_000
"""Wider than any saw's, µm."""

MOST_OFFCUTS = 20
"""The most offcuts of the store that are tried."""


@frozen
class OffcutView(View):
    """A rectangle that is left of a sheet; `share` is the amount that it comes back as."""

    start: Annotated[int, SIZE]
    edge: Annotated[int, SIZE]
    length: Annotated[int, SIZE]
    width: Annotated[int, SIZE]
    share: Annotated[tuple[int, Kind], Again((COUNT,))]


@frozen
class SheetUsedView(View):
    """An offcut or a whole sheet of the store, or without a lot one to buy."""

    lot: int | None
    number: Code | None
    container: str | None
    offcut: bool
    length: Annotated[int, SIZE]
    width: Annotated[int, SIZE]
    cuts: list[LaidView]
    offcuts: list[OffcutView]


@frozen
class SheetsView(View):
    """The cut list; `count` is of whole sheets."""

    product: Code | None
    job: Code | None
    length: Annotated[int, SIZE]
    width: Annotated[int, SIZE]
    kerf: Annotated[float, SIZE]
    count: int
    waste: Annotated[float, AREA]
    waste_percent: float
    sheets: list[SheetUsedView]
    needs: Needs
    cautions: list[Text]
    advice: list[str]


@frozen
class Sheet:
    """A sheet to cut: an offcut, a whole sheet of a lot, or without a lot one to buy."""

    bed: Bed
    lot: Lot | None = None
    offcut: bool = False


Cut = tuple[Sheet, list[Laid]]
Size = tuple[float, float]
"""Length and width, µm."""


def sheets(
    *,
    pieces: Sequence[Mapping[str, Any]],
    now: int,
    product: str | None = None,
    length: float | None = None,
    width: float | None = None,
    kerf: float = USUAL_KERF,
    job: str | None = None,
) -> SheetsView:
    """Lay pieces out on sheets of a product, or on any sheets of a size. Nothing is kept.

    Args:
        pieces: as `cut_list.read` takes them. length: of a sheet, along its grain, µm.
        width, kerf: µm. job: may take stock reserved for it.

    Raises:
        Invalid: no size, a kerf of no saw, a piece larger than a sheet, too many pieces.
        UnknownReference, JobClosed, CureSheetMissing.
        AuthorityMissing: as `authority.check_cuts`.
    """
    stuff = None if product is None else finding.product(product, "/product")
    work = None if job is None else finding.open_job(job, "/job")
    if work is not None:
        authority.check_cuts(work, now)
    named = cut_list.read(pieces, "pieces")
    whole = _whole(stuff, length, width)
    cut_list.check_fit(
        named, whole, "sheet", "Take a larger sheet; say turn where the grain is nothing."
    )
    if kerf > WIDEST_KERF:
        raise Invalid(
            "No saw cuts wider than 50 mm.", advice="Check the number, and its unit.",
            pointer="/kerf",
        )  # fmt: skip
    gap = nesting.tenths(kerf)
    stock = [] if stuff is None else list(_stock(stuff, work, whole, moments.day_of(now)))
    taken = _cut(stock, whole, named, gap)
    every = [each for _, laid in taken for each in laid]
    there = sum(sheet.bed.length * sheet.bed.width for sheet, _ in taken) / 100
    waste = there - cut_list.area(every, named)
    count = sum(not sheet.offcut for sheet, _ in taken)
    return SheetsView(
        product=stuff and stuff.code,
        job=work and work.number,
        length=whole.length * TENTH,
        width=whole.width * TENTH,
        kerf=kerf,
        count=count,
        waste=waste,
        waste_percent=round(100 * waste / there, 1),
        sheets=[_show(sheet, laid, named, _size(stuff, whole), gap) for sheet, laid in taken],
        needs=_needs(stuff, count),
        cautions=_cautions(stuff, taken),
        advice=list(_ADVICE),
    )


_ADVICE = (
    "Every cut goes from edge to edge of what is then left. Start from a square corner.",
    "Mark each piece's number and its grain on it before it is cut.",
)


def _whole(stuff: Product | None, length: float | None, width: float | None) -> Bed:
    if stuff is not None and stuff.measure != "count":
        raise Invalid(
            f"{stuff.code} is not kept by the piece.", advice="Name a sheet.", pointer="/product"
        )
    sizes = [length or (stuff and stuff.length_um), width or (stuff and stuff.width_um)]
    if None in sizes or not all(sizes):
        if stuff is None:
            raise Invalid(
                "The sheet's length or width is missing.", advice="Name a product, or give both."
            )
        raise CureSheetMissing(
            f"{stuff.code} has no length or no width.",
            advice="Set the product's length and width, or give them here.",
            pointer="/product",
        )
    along, across = (max(int(size or 0) // TENTH, 1) for size in sizes)
    return Bed(along, across)


def _stock(stuff: Product, work: Job | None, whole: Bed, today: date) -> Iterator[Sheet]:
    """Offcuts, the smallest first, then whole sheets, first expired first."""
    stock = on_shelf(stuff)
    found = [row for row in stock.rows if _offcut_of_use(row, stock.ends[row.id], today)]
    small = sorted(found, key=lambda row: (row.length_um or 0) * (row.width_um or 0))
    for row in small[:MOST_OFFCUTS]:
        bed = Bed((row.length_um or 0) // TENTH, (row.width_um or 0) // TENTH)
        yield Sheet(bed, row, offcut=True)
    reserved = reserve.of_stock(stock, today)
    others = reserved.by_lot(but=work.id if work else None)
    for lot in sorted(reserved.lots, key=lambda lot: (lot.last_day or date.max, lot.id)):
        if lot.last_day is None or lot.last_day >= today:
            free = (lot.on_hand - others[lot.id]) // PIECE
            yield from [Sheet(whole, reserved.rows[lot.id])] * min(free, nesting.MOST_PIECES)


def _offcut_of_use(row: Lot, last: date | None, today: date) -> bool:
    if not is_offcut(row) or row.held or not row.length_um or not row.width_um:
        return False
    return last is None or last >= today


def _cut(stock: Sequence[Sheet], whole: Bed, named: Mapping[int, Named], kerf: int) -> list[Cut]:
    """Every piece on a sheet: the store's sheets in their turn, then as many to buy as it takes."""
    left = [each.piece for each in named.values()]
    taken: list[Cut] = []
    waiting = iter(stock)
    while left:
        sheet = next(waiting, Sheet(whole))
        if any(piece.fits(sheet.bed) for piece in left):
            laid = nesting.fill(sheet.bed, left, kerf, sawn=True)
            taken.append((sheet, laid))
            left = nesting.left_out(left, laid)
    return taken


def _show(
    sheet: Sheet, laid: Sequence[Laid], named: Mapping[int, Named], size: Size, kerf: int
) -> SheetUsedView:
    row = sheet.lot
    return SheetUsedView(
        lot=row and row.id,
        number=row and row.number,
        container=row and row.container,
        offcut=sheet.offcut,
        length=sheet.bed.length * TENTH,
        width=sheet.bed.width * TENTH,
        cuts=[cut_list.show(each, named) for each in laid],
        offcuts=[_left(each, size) for each in offcuts(sheet.bed, laid, kerf)],
    )


def _size(stuff: Product | None, whole: Bed) -> Size:
    """The size of a whole sheet: the product's own, by which a return counts, where it has one."""
    if stuff is not None and stuff.length_um and stuff.width_um:
        return stuff.length_um, stuff.width_um
    return whole.length * TENTH, whole.width * TENTH


def _left(offcut: Offcut, sheet: Size) -> OffcutView:
    """An offcut, and the share of a sheet that it comes back as."""
    length, width = offcut.length * TENTH, offcut.width * TENTH
    return OffcutView(
        start=offcut.start * TENTH,
        edge=offcut.edge * TENTH,
        length=length,
        width=width,
        share=(share((length, width), sheet), COUNT),
    )


def _needs(stuff: Product | None, count: int) -> Needs:
    if stuff is None or not count:
        return []
    return [AmountNeeded(stuff.code, (count * PIECE, COUNT))]


def _cautions(stuff: Product | None, taken: Sequence[Cut]) -> list[Text]:
    words: list[Text] = []
    short = sum(sheet.lot is None for sheet, _ in taken)
    if stuff is not None and short:
        words.append(f"{short} of the sheets of {stuff.code} {'is' if short == 1 else 'are'} "
                     "not in the store: buy them.")  # fmt: skip
    words.append("Sawing and sanding make dust that harms: mask, goggles, and draw it off.")
    return words
