"""`cureyard plan dew`: is the surface warm enough to be coated?"""

from __future__ import annotations

import click

from ...answers import Record
from ...asking import Ask, asks
from ...options.common import filled, number
from ...rendering.amounts import amount
from ...rendering.columns import View, labelled, marked


@click.command("dew")
@click.argument("air")
@click.argument("humidity", type=number)
@click.option("--surface", metavar="TEMP", help="Temperature of the surface to be coated.")
@asks
def command(ask: Ask, air: str, humidity: float, surface: str | None) -> None:
    """Work out the dew point of air, and whether a surface is warm enough above it.

    AIR is the air's temperature, HUMIDITY its relative humidity in percent.

    \b
    Example:
      cureyard plan dew "22 degC" 78 --surface "20 degC"
    """
    body = filled(air=air, humidity_percent=humidity, surface=surface)
    ask.show(ask.api.post("/v1/estimates/dew-point", body), _shown)


def _shown(answer: Record, view: View) -> list[str]:
    pairs = [
        ("dew point", amount(answer["dew_point"])),
        ("least", f"{amount(answer['least_surface'])} of the surface"),
        ("verdict", answer["verdict"]),
    ]
    return labelled(pairs, view.width) + marked(answer["cautions"], view.width)
