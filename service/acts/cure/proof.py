"""What is known of a layup's cure, as the rules of handing over judge it."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

from ...core.cure import handing_over
from ...core.cure.handing_over import State, Withheld
from ...core.cure.layer import Layer
from ...core.cure.post_cure import PostCured
from ...core.cure.touch import Touch
from ...core.errors import CureSheetMissing
from ...core.frozen import frozen
from ...core.products.cure_sheet import CureSheet
from ...core.products.hardness import USUAL, Figure, Scale
from ...core.products.materials import is_gel_coat
from ...store.cure import layups
from ...store.cure.layups import Layup, LayupObservation
from ...store.engine.columns import LARGEST
from ..products import cure_sheets
from ..yard import settings
from .gather import Gathered


class Asked:
    """What is asked of layups; what several of them share is read once.

    Args:
        as_known_at: by the sheets that were recorded by then, epoch s.
    """

    def __init__(self, as_known_at: int = LARGEST) -> None:
        self._as_known_at = as_known_at
        self._newest: dict[tuple[int, int | None], CureSheet | None] = {}

    @cached_property
    def probe_days(self) -> float:
        """The days for which a check of a probe holds, by the yard's profile; 0 for ever."""
        return settings.rules().rules["hard-enough"].limits["probe_days"]

    def least(self, row: Layup, own: CureSheet) -> tuple[int | None, Scale]:
        """The maker's least hardness and its scale: by its own sheet, or the pair's newest one."""
        if own.hardness_min is not None:
            return own.hardness_min, own.hardness_scale or USUAL
        pair = row.product_id, row.catalyst_id
        if pair not in self._newest:
            self._newest[pair] = _newest(row, self._as_known_at)
        sheet = self._newest[pair]
        return (None, USUAL) if sheet is None else (sheet.hardness_min, _scale_of(sheet))


def _newest(row: Layup, as_known_at: int) -> CureSheet | None:
    partner = row.catalyst.code if row.catalyst else None
    try:
        return cure_sheets.for_pair(row.product, partner, as_known_at).sheet
    except CureSheetMissing:
        return None


def _scale_of(sheet: CureSheet) -> Scale:
    return sheet.hardness_scale or USUAL


@frozen
class Proof:
    """What a row may say of a layup's cure.

    Attributes:
        withheld: why it is not called cured, whatever the clock says. lacks: whether it could not
            be handed over. measured: whether a hardness of it is on record. left_soft: whether it
            was handed over, and found too soft since.
    """

    withheld: Withheld
    lacks: bool
    measured: bool = False
    left_soft: bool = False


def is_gel_coat_layup(row: Layup) -> bool:
    """Whether a layup is a gel coat."""
    return row.kind == "coat" and is_gel_coat(row.product.role, row.product.chemistry)


def on_scale(seen: Sequence[LayupObservation], scale: Scale) -> list[LayupObservation]:
    """The hardnesses on a scale, oldest first."""
    return [e for e in seen if e.kind == "hardness" and (e.scale or USUAL) == scale]


def counted(
    row: Layup, sheet: CureSheet, believed: Sequence[LayupObservation], asked: Asked
) -> LayupObservation | None:
    """The hardness of a layup that counts, see `handing_over.counted`.

    Args:
        sheet: its own. believed: what hands saw of it, oldest first.
    """
    least, scale = asked.least(row, sheet)
    seen = on_scale(believed, scale)
    place = handing_over.counted(
        [figure_of(row, each) for each in seen],
        handing_over.needed(least, row.product.chemistry),
        structural=row.job.structural != "no",
        gel_coat=is_gel_coat_layup(row),
    )
    return None if place is None else seen[place]


def figure_of(row: Layup, seen: LayupObservation, unsaid: tuple[str, ...] = ()) -> Figure:
    """The figure of a hardness of a layup: of its readings, else its value."""
    mean, u = layups.figure_of(seen)
    on_gel_coat = seen.face == "gel_coat" or is_gel_coat_layup(row)
    return Figure(mean, u, seen.scale or USUAL, unsaid, on_gel_coat)


def state(
    row: Layup,
    layer: Layer,
    touch: Touch,
    heated: PostCured | None,
    read: tuple[Figure, float] | None,
    asked: Asked,
    *,
    hard: bool,
) -> State:
    """What is known of a layup that is to be handed over.

    Args:
        heated: its post-cure. read: its hardness, and when it was measured, epoch s.
        hard: whether a hand or the clock says that it is hard, or cured through.
    """
    least, scale = asked.least(row, layer.sheet)
    return State(
        structural=row.job.structural != "no",
        hard=hard,
        hardness=None if read is None else read[0],
        hardness_at=0.0 if read is None else read[1],
        needed=handing_over.needed(least, row.product.chemistry),
        scale=scale,
        on_sheet=least is not None,
        post_cure=heated,
        unfit="" if heated is None else heated.unfit(asked.probe_days),
        wiped=touch.wiped is not None,
        gel_coat=is_gel_coat_layup(row),
        by_moisture=layer.sheet.cures_by_moisture,
        cut=touch.sandable is not None,
    )


def of_laid(
    laid: Gathered, believed: Sequence[LayupObservation], heated: PostCured | None, asked: Asked
) -> Proof:
    """What a row may say of a layup that is hard by its clock.

    Args:
        believed: what hands saw of it. heated: its post-cure.
    """
    row, sheet = laid.record.row, laid.layer.sheet
    structural = row.job.structural != "no"
    measured = any(each.kind == "hardness" for each in believed)
    if not measured and heated is None and not (structural and laid.touch.checks):
        return Proof("", structural)
    read = counted(row, sheet, believed, asked)
    known = None if read is None else (figure_of(row, read), float(read.at))
    told = state(row, laid.layer, laid.touch, heated, known, asked, hard=True)
    withheld = handing_over.withheld(told)
    gone = [each.at for each in believed if each.kind == "handed_over"]
    left_soft = read is not None and withheld == "soft" and bool(gone) and read.at > gone[-1]
    return Proof(withheld, bool(handing_over.missing(told)), measured, left_soft)
