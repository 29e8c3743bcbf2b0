"""`cureyard plan basic-float`: the buoyancy of a boat that only has to stay up."""

from __future__ import annotations

from typing import Any

import click

from ...asking import Ask, asks
from ...options import filled
from ...rendering.amounts import amount
from ...rendering.columns import View, labelled, marked, spaced


@click.command("basic-float")
@click.argument("persons")
@click.argument("weight_capacity")
@click.option("--chamber", "chambers", multiple=True, metavar="VOLUME", help="Each air chamber.")
@click.option("--foam", "foam_density", metavar="DENSITY", help="Of the foam.")
@click.option("--take-up", metavar="DENSITY", help="Water that the foam takes up.")
@asks
def command(ask: Ask, **given: Any) -> None:
    """Buoyancy by 33 CFR 183.105 for PERSONS and WEIGHT_CAPACITY; not a compliance figure.

    \b
    Example:
      cureyard plan basic-float "600 lb" "1000 lb" --foam "2 lb/ft3"
    """
    given["chambers"] = list(given["chambers"])
    ask.show(ask.api.post("/v1/estimates/basic-flotation", filled(**given)), _shown)


def _shown(answer: dict[str, Any], view: View) -> list[str]:
    foam = f"{amount(answer['total'])}, {amount(answer['foam'])}" if answer["total"] else ""
    pairs = [("buoyancy", amount(answer["buoyancy"])), ("foam", foam)]
    return spaced(labelled(pairs, view.width), marked(answer["cautions"], view.width))
