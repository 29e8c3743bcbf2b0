"""Show the steps of a plan: why each begins when it does, how its face is prepared, warnings."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Literal, NamedTuple, get_args

from ...core.amounts.quantities import TIME
from ...core.amounts.views import Closing, Code, Moment, OneOf, Opening, View
from ...core.cure import compatibility, recoat
from ...core.cure.layer import Cover
from ...core.frozen import frozen
from ...core.plan.chain import Plan
from ...core.plan.steps import Hold, Lay, Wait, Work
from ...core.plan.why import BOUNDS
from ...core.products.cure_sheet import Surface
from ...core.words import Text
from .steps import Chain

CAUTIONS = (
    "Forecasts rest on the bay's pattern: a hand's touch decides before every layer.",
    "Structural work follows the craft's builder, class or local rules and a licensed surveyor.",
)

BY_TOUCH = (
    "By touch: a layer goes on only once a glove comes away clean from the one below, or solvent "
    "makes it tacky. For what carries no load."
)

Kind = Literal["cure", "work", "wait", "hold"]
KINDS: tuple[Kind, ...] = get_args(Kind)
_KIND_OF: Mapping[type, Kind] = {Lay: "cure", Work: "work", Wait: "wait", Hold: "hold"}
_WHY = {
    "start": "begins when the plan does",
    "last-step": "as soon as the step before is done",
    "window": "once {below} is sure to be ready for it",
    "hard": "once {below} is sure to be hard enough",
    "hours": "at the first hours of the shop that hold it",
    "temperature": "before that the bay is too cold or too hot to lay it up",
    "cold-night": "begun before, it would lie too cold for too long before it is hard",
    "later-step": "begun before, a later step would come later, or need abrading",
}


@frozen
class PlannedView(View):
    """One step: when it begins, how its face is prepared, and why it begins no earlier."""

    title: str
    kind: Kind
    product: Code | None
    start: Moment
    end: Moment
    abrade: Annotated[float | None, TIME]
    laid_from: Moment | None
    recoat_opens: Opening | None
    recoat_closes: Closing | None
    next_by: Closing | None
    prepare: list[str]
    bound: Annotated[str, OneOf(BOUNDS)]
    why: str


class Under(NamedTuple):
    """The layer that a step goes on."""

    chemistry: str | None
    title: str
    surface: Surface
    cover: Cover


def show_steps(chain: Chain, plan: Plan) -> list[PlannedView]:
    """The steps of a plan, in order."""
    return [_show(chain, plan, number) for number in range(len(plan.steps))]


def warnings(chain: Chain, plan: Plan) -> list[Text]:
    """Words on one step's material on another's."""
    found: list[Text] = []
    for number, planned in enumerate(plan.steps):
        under = _below(chain, plan, number)
        product = chain.products.get(number)
        if under is None or product is None:
            continue
        bare = under.surface == "air_inhibited" and under.cover == "none"
        word = compatibility.on_top(
            product.chemistry,
            under.chemistry,
            structural=True,
            tacky=bare and not planned.abrade,
        )
        if word is not None:
            found.append(f"{planned.step.title} on {under.title}: {word.severity}, {word.reason}.")
    return found


def _show(chain: Chain, plan: Plan, number: int) -> PlannedView:
    planned = plan.steps[number]
    product = chain.products.get(number)
    return PlannedView(
        title=planned.step.title,
        kind=_KIND_OF[type(planned.step)],
        product=None if product is None else product.code,
        start=planned.begin,
        end=planned.end,
        abrade=planned.abrade or None,
        laid_from=planned.lay if isinstance(planned.step, Lay) else None,
        recoat_opens=planned.opens,
        recoat_closes=planned.closes,
        next_by=_next_by(plan, number),
        prepare=_prepare(chain, plan, number),
        bound=planned.bound,
        why=_why(chain, plan, number),
    )


def _next_by(plan: Plan, number: int) -> float | None:
    """By when the next layer is begun, to be spread before the window of this one shuts.

    Where no layer of the plan goes on it: when the window shuts.
    """
    closes = plan.steps[number].closes
    following = (step.step for step in plan.steps[number + 1 :])
    upper = next((step for step in following if isinstance(step, Lay | Work)), None)
    return closes - upper.length if closes is not None and isinstance(upper, Lay) else closes


def _why(chain: Chain, plan: Plan, number: int) -> str:
    under = _below(chain, plan, number)
    below = "the face" if under is None else f"'{under.title}'"
    told = _WHY[plan.steps[number].bound].format(below=below)
    return told.replace("is sure to be ready", "is likely ready") if chain.by_touch else told


def _prepare(chain: Chain, plan: Plan, number: int) -> list[str]:
    """How the face is prepared: for a layer not at all in the window, else by abrading it; for
    work on it, by what comes before the grinder."""
    planned = plan.steps[number]
    under = _below(chain, plan, number)
    if isinstance(planned.step, Work) and under is not None:
        past = recoat.prepare(under.surface, "past", under.cover)
        return list(past.steps[:-1])  # the last is the abrading itself
    if not isinstance(planned.step, Lay):
        return []
    if under is None:
        dressed = [s.step.title for s in plan.steps[:number] if isinstance(s.step, Work)][-1:]
        return [f"see that '{title}' left it abraded, clean and dry" for title in dressed]
    stand: recoat.Stand = "past" if planned.abrade else "open"
    return list(recoat.prepare(under.surface, stand, under.cover).steps)


def _below(chain: Chain, plan: Plan, number: int) -> Under | None:
    """The layer that a step goes on, uncovered if it is only planned; None on a fresh face."""
    for k in range(number - 1, -1, -1):
        step = plan.steps[k].step
        if isinstance(step, Work):
            return None
        if isinstance(step, Lay):
            return Under(chain.products[k].chemistry, step.title, step.layer.surface, "none")
    row = chain.below
    if row is None:
        return None
    cover: Cover = row.cover or "none"
    return Under(row.product.chemistry, row.title, chain.surface_below, cover)
