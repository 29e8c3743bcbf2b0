"""Estimate a vacuum bag: film, peel ply, breather and tape. Nothing is kept."""

from __future__ import annotations

from typing import Annotated

from ...core.amounts.quantities import AREA, LENGTH
from ...core.amounts.views import View
from ...core.estimates import bagging
from ...core.frozen import frozen
from ...core.words import Text
from ..yard import finding
from .needed import NeedList, Needs


@frozen
class BaggingView(View):
    """What a vacuum bag takes: each sheet with its margins, film and tape with their pleats."""

    film: Annotated[float, AREA]
    peel_ply: Annotated[float, AREA]
    breather: Annotated[float, AREA]
    tape: Annotated[float, LENGTH]
    needs: Needs
    cautions: list[Text]
    advice: list[Text]


def bag(
    *, length: float, width: float, margin: float = bagging.USUAL_MARGIN,
    pleats_percent: float = bagging.USUAL_PLEATS, film: str | None = None,
    peel_ply: str | None = None, breather: str | None = None, tape: str | None = None,
) -> BaggingView:  # fmt: skip
    """A vacuum bag over a part.

    Args:
        length, width: of the part, µm. margin: that each sheet reaches past the one below it, µm.
        film, peel_ply, breather, tape: products that are kept by length, for the needs.

    Raises: UnknownReference: no such product. Invalid: as `bagging.bagging`.
    """
    taken = bagging.bagging(length, width, margin=margin, pleats_percent=pleats_percent)
    needed = NeedList()
    sheets = (("film", film, taken.film), ("peel_ply", peel_ply, taken.peel_ply),
              ("breather", breather, taken.breather))  # fmt: skip
    for name, code, area in sheets:
        if code is not None:
            needed.plies(finding.product(code, f"/{name}"), area, 1)
    if tape is not None:
        needed.run(finding.product(tape, "/tape"), taken.tape)
    return BaggingView(
        film=taken.film,
        peel_ply=taken.peel_ply,
        breather=taken.breather,
        tape=taken.tape,
        needs=needed.needs,
        cautions=[bagging.FILM_BRIDGES, *needed.cautions],
        advice=[bagging.ORDER, bagging.TEST_FIRST],
    )
