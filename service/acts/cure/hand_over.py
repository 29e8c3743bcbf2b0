"""Check a layup before it is handed over: it must be hard, and a lead signs structural work off."""

from __future__ import annotations

from collections.abc import Mapping

from ...core.cure import handing_over
from ...core.cure.handing_over import State
from ...core.errors import CureSheetMissing, NotCured
from ...core.words import Text, joined, say
from ...store.cure import layups
from ...store.cure.layups import Layup, LayupObservation
from ...store.yard.hands import Hand
from ..products import cure_sheets
from ..yard import permissions
from . import gate_facts, watch
from .watch import Watched


def check(row: Layup, at: int, override: Mapping[str, str] | None, now: int, hand: Hand) -> None:
    """Refuse a layup that is not cured; record a refusal that an override sets aside.

    Args:
        at: when it is handed over, epoch s; observations up to then count.

    Raises:
        NotAllowed: structural work, or an override, and not by a lead.
        NotCured: something is missing, and nobody overrides.
    """
    structural = row.job.structural != "no"
    if structural:
        hand.must_be("lead", "To hand over structural work")
    found = handing_over.missing(_state(row, at, now, structural))
    reason = permissions.reason_of(override, hand) if found else None
    if found and reason is None:
        raise _refused(row, found)
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


def doubts(watched: Watched) -> list[str]:
    """A warning on a layup that was handed over and then found too soft."""
    seen = {each.kind: each for each in watched.seen}
    if not {"handed_over", "hardness"} <= seen.keys():
        return []
    asked = handing_over.needed(_least(watched), watched.row.product.chemistry)
    found = gate_facts.hardness_of(seen["hardness"])
    if asked is None or found is None or found >= asked:
        return []
    return [
        f"Barcol {found:.1f} was measured, {asked:.1f} is needed to hand it over, and it was "
        "handed over: tell whoever has it. It is not to be loaded, lifted or launched."
    ]


def _state(row: Layup, at: int, now: int, structural: bool) -> State:
    watched = watch.as_it_stood(row, at)
    wet = _found_wet_since(row, now)
    hardness = None if wet else _hardness(row, at)
    return State(
        structural=structural,
        hard=_is_hard(watched, at) and not wet,
        hardness=gate_facts.hardness_of(hardness),
        hardness_at=0.0 if hardness is None else float(hardness.at),
        needed=handing_over.needed(_least(watched), row.product.chemistry),
        post_cure=watched.post_cure,
    )


def _found_wet_since(row: Layup, now: int) -> bool:
    """Whether the last look found it wet: then it was wet when it left, too."""
    return watch.as_it_stood(row, now).touch.not_gelled is not None


def _hardness(row: Layup, at: int) -> LayupObservation | None:
    """The last hardness by a moment; if it was found softer since, it was that soft then, too."""
    found = [each for each in layups.observations_of(row.id) if each.kind == "hardness"]
    own = [each for each in found if each.at <= at][-1:]
    later = [each for each in found if each.at > at]
    return min([*own, *later], key=_barcol) if own else None


def _barcol(seen: LayupObservation) -> int:
    return seen.value or 0


def _is_hard(watched: Watched, at: int) -> bool:
    """Whether a hand found it hard, or else the clock says so and it is sound."""
    if watched.touch.sandable is not None:
        return True
    return watched.unsound is None and watch.ground_of(watched).ready <= at


def _least(watched: Watched) -> int | None:
    """The maker's least hardness, by its own sheet or by the pair's newest one."""
    own = watched.layer.sheet.barcol_min
    row = watched.row
    if own is not None:
        return own
    try:
        kept = cure_sheets.for_pair(row.product, row.catalyst.code if row.catalyst else None)
    except CureSheetMissing:
        return None
    return kept.sheet.barcol_min


def _refused(row: Layup, found: list[Text]) -> NotCured:
    product = row.product.code
    return NotCured(
        say("Layup {}, {}, is not handed over: {}.", row.id, row.title, joined("; ", found)),
        advice="Take 10 to 12 Barcol readings and note them as a 'hardness' (the maker's least is "
        f"on {product}'s cure sheet, as 'barcol_min'), or post-cure it by the maker's sheet. Or "
        "give an 'override' with a reason, which stays on record.",
        layup=row.id,
        missing=found,
    )
