"""`cureyard plan float`: the foam that keeps a swamped boat up and level."""

from __future__ import annotations

from typing import Any

import click

from ...answers import Record
from ...api import Body
from ...asking import Ask, asks
from ...options.common import filled, number
from ...rendering.amounts import amount
from ...rendering.columns import View, labelled, marked, spaced


@click.command("float")
@click.option(
    "--hull",
    multiple=True,
    required=True,
    nargs=2,
    metavar="MASS MATERIAL",
    help="Dry mass of the hull under the swamped waterline. MATERIAL is frp, aluminium, "
    "steel, abs, plywood, or a specific gravity. May be repeated.",
)
@click.option(
    "--foam", "foam_density", required=True, metavar="DENSITY", help="The foam's density."
)
@click.option("--take-up", metavar="DENSITY", help="Water that the foam takes up.")
@click.option("--deck", metavar="MASS", help="Dry mass of deck and superstructure.")
@click.option("--engines", metavar="MASS", help="Swamped mass of engine and battery.")
@click.option("--persons", metavar="MASS", help="The persons capacity.")
@click.option("--capacity", metavar="MASS", help="Weight capacity, less the handbook's table.")
@asks
def command(ask: Ask, hull: tuple[tuple[str, str], ...], **given: Any) -> None:
    """Work out foam for level flotation, by the Coast Guard handbook; not a compliance figure.

    \b
    Example:
      cureyard plan float --hull "600 lb" frp --deck "200 lb" --foam "2 lb/ft3"
    """
    body = filled(hull=[_part(*row) for row in hull], **given)
    ask.show(ask.api.post("/v1/estimates/flotation", body), _shown)


def _part(mass: str, material: str) -> Body:
    if material[:1].isdigit() or material.startswith("."):
        return {"mass": mass, "specific_gravity": number(material)}
    return {"mass": mass, "material": material}


def _shown(answer: Record, view: View) -> list[str]:
    pairs = [
        ("foam lifts", f"{amount(answer['lift'])} under water"),
        ("hull", amount(answer["hull"])),
        ("engines", amount(answer["engines"])),
        ("persons", amount(answer["persons"])),
        ("in all", f"{amount(answer['total'])}, {amount(answer['foam'])} of foam"),
    ]
    return spaced(labelled(pairs, view.width), marked(answer["cautions"], view.width))
