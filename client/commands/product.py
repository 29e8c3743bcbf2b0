"""`cureyard product`: the catalogue."""

from __future__ import annotations

import re
from typing import Any

import click

from ..api import Body, at
from ..asking import Ask, asks
from ..exits import Refused, Stopped
from ..groups import Noun
from ..options.common import Choice, F, filled, number, paged
from ..options.cure import cure_options, take_cure
from ..options.filled import CONSISTENCY
from ..options.stored import PRODUCT
from ..rendering import products

ROLES = Choice(
    ["reinforcement", "bagging", "resin", "catalyst", "hardener", "promoter", "filler", "coating",
     "foam", "adhesive", "sheet", "sundry"]
)  # fmt: skip

_OPTIONS = (
    click.option("--chemistry", metavar="WORD", help="Such as polyester or ketone_peroxide."),
    click.option("--density", metavar="DENSITY", help="Density of the liquid, as '1.1 kg/L'."),
    click.option("--cured-density", metavar="DENSITY", help="Density of the cured resin."),
    click.option("--shelf-life", metavar="TIME", help="Life from the day it was made."),
    click.option("--open-life", metavar="TIME", help="Life from the day it was opened."),
    click.option("--life-type", type=Choice(["I", "II"]),
                 help="I is never extended; II may be extended once, after a test."),
    click.option("--width", metavar="LENGTH", help="Width of a roll or sheet."),
    click.option("--length", metavar="LENGTH", help="Length of a sheet."),
    click.option("--thickness", metavar="LENGTH", help="Thickness of a sheet."),
    click.option("--areal-weight", metavar="WEIGHT", help="Of a mat or cloth, as '450 g/m2'."),
    click.option("--fibre-fraction", type=number, metavar="SHARE",
                 help="Fibre's share of the laminate's mass, such as 0.3."),
    click.option("--active-oxygen", "active_oxygen_percent", type=number, metavar="PERCENT",
                 help="Active oxygen of a peroxide."),
    click.option("--peroxide-type", metavar="WORD", help="Kind of peroxide, such as mekp."),
    click.option("--effect", "effects", multiple=True,
                 type=Choice(["waxes", "thins", "pigments", "promotes"]),
                 help="What an additive does to a mix; may be repeated. Wax, styrene (thins) and "
                 "colour paste have the role filler."),
    click.option("--promoted/--unpromoted", default=None,
                 help="Whether a resin comes with its promoter in it."),
    click.option("--binder", type=Choice(["none", "emulsion", "powder"]),
                 help="What holds a mat together; none if it is stitched."),
    click.option("--bulk-density", metavar="DENSITY",
                 help="Of a filler as it lies loose, such as '0.15 kg/L'."),
    click.option("--particle-density", metavar="DENSITY",
                 help="Of a filler's own grains, such as '0.25 kg/L'."),
    click.option("--consistency", "consistencies", nargs=2, multiple=True,
                 type=click.Tuple([CONSISTENCY, str]), metavar="WORD AMOUNT",
                 help="How much of a filler makes a mix pour, sag, hold a ridge or stay put: "
                 "'1.5 parts' by loose volume to one of mixed resin, or '40 g/kg'. Give all that "
                 "its sheet has."),
    click.option("--storage-min", metavar="TEMP", help="Store it no colder than this."),
    click.option("--storage-max", metavar="TEMP", help="Store it no warmer than this."),
    click.option("--supplier", metavar="TEXT", help="Where it comes from."),
    click.option("--reorder-at", metavar="QUANTITY", help="Buy more when less than this is free."),
    cure_options,
)  # fmt: skip


def product_options(command: F) -> F:
    """Give a command the options of a product."""
    for option in reversed(_OPTIONS):
        command = option(command)
    return command


def _body(given: dict[str, Any], typed_as: str) -> Body:
    """The request. `typed_as`: the field for what was typed of the cure sheet."""
    whole, typed = take_cure(given)
    effects = list(given.pop("effects"))
    thickens = [_consistency(*each) for each in given.pop("consistencies")]
    return filled(
        **given,
        effects=effects,
        consistencies=thickens,
        **({typed_as: typed} if typed else {"cure": whole}),
    )


def _consistency(word: str, typed: str) -> Body:
    """How much of a filler gives a consistency, as typed: loose parts, or g to the kilogram."""
    found = re.fullmatch(r"\s*([\d./]+)\s*(parts?|g/kg)\s*", typed)
    if found is None:
        raise click.UsageError(
            f"'{typed}' is no amount of filler: write '1.5 parts' by loose volume, or '40 g/kg'."
        )
    name = "grams_per_kg" if found[2] == "g/kg" else "loose_parts"
    return {"consistency": word, name: number(found[1])}


@click.group("product", cls=Noun)
def command() -> None:
    """The catalogue with its cure sheets: add, list, show, set."""


@command.command("add")
@click.argument("code")
@click.option("--name", required=True, metavar="TEXT", help="The product's name.")
@click.option("--role", required=True, type=ROLES, help="What it is used as.")
@product_options
@asks
def add_product(ask: Ask, **given: Any) -> None:
    """Add a product; if it cures, with the cure times of its data sheet.

    \b
    Examples:
      cureyard product add LAM-PE --name "Laminating polyester" --role resin \\
        --chemistry polyester --density "1.1 kg/L" --shelf-life "180 d" \\
        --mix catalysed --surface air_inhibited --with PEROX-9 \\
        --reference "20 degC" 2 --gel-time "20 degC" 2 "15-20 min" \\
        --percent-min 1 --percent-max 3 --apply-min "15 degC" \\
        --recoat-opens "2 h" --recoat-closes "24 h" --sandable "8 h"
      cureyard product add BALLOONS --name "Hollow spheres" --role filler \\
        --bulk-density "0.15 kg/L" --particle-density "0.25 kg/L" \\
        --consistency sags "1 part" --consistency "holds a ridge" "1.5 parts"
    """
    body = _body(given, "cure")
    try:
        ask.show(ask.api.post("/v1/products", body), products.shown)
    except Refused as refused:
        if refused.slug == "already-exists" and refused.problem.get("pointer") == "/code":
            refused.advice = f"To change it: cureyard product set {body['code']} …; see --help."
        raise


@command.command("list")
@click.option("--role", type=ROLES, help="Only products with this role.")
@paged
@asks
def list_products(ask: Ask, **query: Any) -> None:
    """List products.

    \b
    Example:
      cureyard product list --role resin
    """
    ask.show_list(ask.api.get("/v1/products", **query), products.listed)


@command.command("show")
@click.argument("code", type=PRODUCT)
@asks
def show_product(ask: Ask, code: str) -> None:
    """Show one product with its cure sheets.

    \b
    Example:
      cureyard product show LAM-PE
    """
    ask.show(ask.api.get(at("products", code)), products.shown)
    if not ask.as_json:
        ask.print(ask.api.get(at("products", code, "score")).body, products.scored)


@command.command("set")
@click.argument("code", type=PRODUCT)
@click.option("--name", metavar="TEXT", help="The product's name.")
@product_options
@asks
def set_product(ask: Ask, code: str, **given: Any) -> None:
    """Change a product in the catalogue.

    A figure of the cure sheet makes a new revision: the last one with that figure changed. A
    --gel-time replaces the one at the same temperature and percent, or else is added. A --with
    is added too; if there are several sheets, it names the one to change. To remove a gel time
    or a --with, give the whole sheet with --cure FILE. Layups keep the revision that they had.

    \b
    Examples:
      cureyard product set LAM-PE --supplier "Quay Stores"
      cureyard product set LAM-PE --sandable "10 h" --gel-time 25C 2 "10-12 min"
    """
    if not (body := _body(given, "cure_change")):
        raise Stopped("There is nothing to change.", "Name what to set; see --help.")
    ask.show(ask.api.patch(at("products", code), body), products.shown)
