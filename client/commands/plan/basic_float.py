"""`cureyard plan basic-float`: the buoyancy of a boat that only has to stay up."""

from __future__ import annotations

from typing import Any

import click

from ...answers import Record
from ...asking import Ask, asks
from ...options.common import filled
from ...rendering.amounts import amount
from ...rendering.columns import View, labelled, marked, spaced


@click.command("basic-float")
@click.argument("persons")
@click.argument("weight_capacity")
@click.option(
    "--chamber",
    "chambers",
    multiple=True,
    metavar="VOLUME",
    help="The volume of an air chamber; may be repeated.",
)
@click.option("--foam", "foam_density", metavar="DENSITY", help="The foam's density.")
@click.option("--take-up", metavar="DENSITY", help="Water that the foam takes up.")
@asks
def command(ask: Ask, **given: Any) -> None:
    """Work out the buoyancy for PERSONS and WEIGHT_CAPACITY; not a compliance figure.

    It follows 33 CFR 183.105.

    \b
    Example:
      cureyard plan basic-float "600 lb" "1000 lb" --foam "2 lb/ft3"
    """
    body = filled(**{**given, "chambers": list(given["chambers"])})
    ask.show(ask.api.post("/v1/estimates/basic-flotation", body), _shown)


def _shown(answer: Record, view: View) -> list[str]:
    foam = f"{amount(answer['total'])}, {amount(answer['foam'])}" if answer["total"] else ""
    pairs = [("buoyancy", amount(answer["buoyancy"])), ("foam", foam)]
    return spaced(labelled(pairs, view.width), marked(answer["cautions"], view.width))
