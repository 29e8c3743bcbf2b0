"""Acceptance of a job's layups: which are proven cured, and what each of the others lacks.

A layup answers for itself unless it was scraped off, or another layer than a coat was laid on it:
then the layer on top answers for the stack.
"""

from __future__ import annotations

from collections.abc import Sequence

from ...core.amounts.views import Moment, View
from ...core.cure import handing_over
from ...core.frozen import frozen
from ...core.words import Text
from ...store.engine.columns import LARGEST
from . import hand_over
from .proof import Asked
from .watch import Watched


@frozen
class AcceptanceView(View):
    """A layup that answers for its stack: what it lacks, and who handed it over."""

    layup: int
    title: str
    accepted: bool
    lacks: list[Text]
    handed_over_at: Moment | None
    who: str | None
    verified: bool | None


def of_layups(
    laid: Sequence[Watched], now: int, *, as_known_at: int = LARGEST
) -> list[AcceptanceView]:
    """The acceptance of each layup of a job that answers for itself, in their order.

    Args:
        laid: all of the job's layups, as of `now` (epoch s).
        as_known_at: by the sheets that were recorded by then: when the job was signed, epoch s.
    """
    there = [each for each in laid if each.touch.scraped_off is None and not each.record.withdrawn]
    under = {each.row.over_id for each in there if each.row.kind != "coat"}
    asked = Asked(as_known_at)
    return [
        _show(each, asked, now) for each in there if each.row.id not in under or each.off_too_soon
    ]


def _show(watched: Watched, asked: Asked, now: int) -> AcceptanceView:
    over = [each for each in watched.seen if each.kind == "handed_over"][-1:]
    lacks: list[Text] = [word.rstrip(".") for word in hand_over.doubts(watched, asked)]
    lacks += [word.rstrip(".") for word in watched.off_too_soon]
    if not over:
        lacks += handing_over.missing(hand_over.as_watched(watched, asked, now))
    return AcceptanceView(
        layup=watched.row.id,
        title=watched.row.title,
        accepted=not lacks,
        lacks=lacks,
        handed_over_at=over[0].at if over else None,
        who=over[0].who if over else None,
        verified=over[0].verified if over else None,
    )
