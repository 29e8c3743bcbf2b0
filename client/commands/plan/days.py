"""`cureyard plan days`: the chain plan, which says on which day each layer goes on."""

from __future__ import annotations

import re
from typing import Any

import click

from ...api import Body, at
from ...asking import Ask, asks
from ...exits import Refused
from ...options.common import Option, filled, number, start_at_option
from ...options.stored import BAY, JOB
from ...rendering import plans

DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
_PRODUCT = re.compile(r"(?P<product>[^+@]+)(?:\+(?P<catalyst>[^+@]+))?(?:@(?P<percent>[\d.]+)%?)?")


@click.command("days")
@click.argument("bay", type=BAY)
@click.option(
    "--step",
    "steps",
    type=(str, str, str),
    multiple=True,
    metavar="TITLE WHAT TIME",
    help="A step, as described above; repeat it in the order of work.",
)
@click.option("--sequence", metavar="NAME", help="Or the steps of a sequence that is kept.")
@click.option(
    "--part",
    "parts",
    type=(str, str),
    multiple=True,
    metavar="PART WHAT",
    help="The product of a part of the sequence; repeat it.",
)
@click.option(
    "--hours",
    default="08:00-17:00",
    show_default=True,
    metavar="FROM-UNTIL",
    help="The shop's hours.",
)
@click.option(
    "--days",
    "week",
    default="mon-fri",
    show_default=True,
    metavar="DAYS",
    help="The shop's working days, as mon-fri or tue,sat.",
)
@click.option(
    "--closed-on",
    "closed",
    cls=Option,
    old="--closed",
    multiple=True,
    metavar="DATE",
    help="A day when the shop is closed; may be repeated.",
)
@click.option(
    "--abrade",
    metavar="TIME",
    help="How long abrading takes before a layer whose window was missed.",
)
@start_at_option("When the first step may begin")
@click.option(
    "--after",
    type=click.IntRange(1),
    metavar="LAYUP",
    help="The layup that the first step goes on.",
)
@click.option("--slot", metavar="TIME", help="Steps begin at multiples of this time (15 min).")
@click.option(
    "--touch",
    is_flag=True,
    help="Plan by touch, for what carries no load: sooner, and less sure.",
)
@click.option("--job", "-j", type=JOB, help="Keep it as this job's plan.")
@asks
def command(
    ask: Ask,
    bay: str,
    steps: tuple[tuple[str, str, str], ...],
    parts: tuple[tuple[str, str], ...],
    hours: str,
    week: str,
    closed: tuple[str, ...],
    abrade: str | None,
    start: str | None,
    job: str | None,
    touch: bool,
    **fields: Any,
) -> None:
    """Plan when each step on one part begins, so that the whole is done soonest.

    Every layer goes on inside the recoat window of the layer below, or the layer below is
    abraded. WHAT is one of these: a resin or other product with its percent, as LAM-PE@1.5, or
    LAM-PE+PEROX-9@1.5 if it has several catalysts; 'work' on the hard part; 'wait'; 'hold'
    until a moment. TIME is how long the work or the wait takes, or the moment.

    \b
    Examples:
      cureyard plan days SHED --sequence INNER-SKIN --part laminate LAM-PE@1.5
      cureyard plan days SHED --abrade "60 min" \\
        --step "Plies 1 to 3" LAM-PE@1.5 "90 min" \\
        --step "Plies 4, 5" LAM-PE@1.5 "60 min" \\
        --step "Grind flush" work "2 h"
    """
    begin, finish = _split(hours)
    body = filled(
        bay=bay,
        start=ask.moment(start, ahead=True),
        hours=filled(days=_days(week), until=finish, closed=list(closed)) | {"from": begin},
        steps=[_step(ask, *step, abrade) for step in steps],
        parts=[{"part": part, **_product(what, "--part")} for part, what in parts],
        touch=touch or None,
        **fields,
    )
    if bool(steps) == (fields["sequence"] is not None):
        raise click.UsageError("Give the steps, each with --step, or one --sequence.")
    try:
        if job is None:
            found = ask.api.post("/v1/plans", body)
        else:
            found = ask.api.put(at("jobs", job, "plan"), body)
    except Refused as refused:
        refused.advice = refused.advice.replace("catalyst_percent", "@PERCENT, as in LAM-PE@1.5")
        raise
    ask.show(found, plans.shown)


def _step(ask: Ask, title: str, what: str, time: str, abrade: str | None) -> Body:
    if what == "hold":
        return {"title": title, "kind": what, "until": ask.moment(time, ahead=True)}
    if what in ("work", "wait"):
        return {"title": title, "kind": what, what: time}
    return {**filled(title=title, work=time, abrade=abrade), **_product(what, "--step")}


def _product(what: str, option: str) -> Body:
    """A product with its catalyst and percent, as LAM-PE+PEROX-9@1.5."""
    found = _PRODUCT.fullmatch(what)
    if found is None:
        others = ", work, wait or hold" if option == "--step" else ""
        raise click.BadParameter(
            f"{what!r} is not PRODUCT@PERCENT, PRODUCT+CATALYST@PERCENT{others}.",
            param_hint=option,
        )
    return filled(
        product=found["product"],
        catalyst=found["catalyst"],
        catalyst_percent=None if found["percent"] is None else number(found["percent"]),
    )


def _split(hours: str) -> tuple[str, str]:
    begin, dash, finish = hours.partition("-")
    if not dash:
        raise click.BadParameter(f"{hours!r} is not FROM-UNTIL, as in 08:00-17:00.",
                                 param_hint="--hours")  # fmt: skip
    return begin.strip().zfill(5), finish.strip().zfill(5)


def _days(text: str) -> list[str]:
    """`mon-fri`, `tue,sat` or both, as days of the week in their order."""
    found = set()
    for part in text.casefold().split(","):
        first, dash, last = part.strip().partition("-")
        if first not in DAYS or (dash and last not in DAYS):
            raise click.BadParameter(f"{text!r} are no days, as in mon-fri or tue,sat.",
                                     param_hint="--days")  # fmt: skip
        count = (DAYS.index(last or first) - DAYS.index(first)) % 7 + 1
        found |= {(DAYS.index(first) + k) % 7 for k in range(count)}
    return [DAYS[day] for day in sorted(found)]
