"""`cureyard plan pots`: how many pots, how big, and when each is mixed."""

from __future__ import annotations

from typing import Any

import click

from ...answers import Record
from ...asking import Ask, asks
from ...options.common import filled, start_at_option
from ...options.dose import dose_options, fillers_option
from ...rendering.amounts import amount
from ...rendering.columns import View, labelled, remarks, spaced, table
from ...rendering.moments import short

_LIMITS = {"pot_max": "by the greatest pot", "time": "by the time before it gels"}


@click.command("pots")
@dose_options
@fillers_option
@click.option(
    "--spread",
    required=True,
    metavar="AMOUNT",
    help="Resin, or area, that you spread in the time --in.",
)
@click.option(
    "--in", "spread_time", required=True, metavar="TIME", help="The time that spreading it takes."
)
@click.option("--area", metavar="AREA", help="The whole area, if --spread is an area.")
@start_at_option("When the first pot is mixed")
@asks
def command(ask: Ask, start: str | None, **given: Any) -> None:
    """Share AMOUNT of RESIN out into pots that are each spread before they gel.

    \b
    Examples:
      cureyard plan pots LAM-PE "6 kg" --bay SHED --gel "30 min" --spread "1 kg" --in "6 min"
      cureyard plan pots LAM-PE "6 kg" --bay SHED --gel "30 min" --area "7 m2" \\
        --spread "1 m2" --in "5 min"
    """
    body = filled(**given, start=ask.moment(start, ahead=True))
    ask.show(ask.api.post("/v1/estimates/pots", body), _shown)


def _shown(answer: Record, view: View) -> list[str]:
    why = _LIMITS.get(answer["limited_by"], "")
    pairs = [
        ("mix", f"{amount(answer['mix'])}: {amount(answer['resin_mass'])} of {answer['resin']}"
                f" and {amount(answer['catalyst_mass'])} of {answer['catalyst'] or 'catalyst'}"),
        ("pots", f"{answer['count']}{f', {why}' if why else ''}"),
        ("greatest", amount(answer["greatest_pot"])),
        ("done", short(answer["finished_at"], view, 1, "up")),
    ]  # fmt: skip
    heads = (">pot", ">resin", ">catalyst", ">or", ">at", "mix", "down by", "never after")
    rows = [
        (
            pot["pot"],
            amount(pot["resin"]),
            amount(pot["catalyst"]),
            amount(pot["catalyst_volume"]),
            amount(pot["temperature"]),
            short(pot["mixed_at"], view),
            short(pot["spread_until"], view, 1, "down"),
            short(pot["spread_before"], view, 1, "down"),
        )
        for pot in answer["pots"]
    ]
    return spaced(
        labelled(pairs, view.width), table(heads, rows, view), remarks(answer, view.width)
    )
