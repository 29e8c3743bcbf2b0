"""`cureyard plan tabbing`: a part taped in along a corner, and the putty under the tape."""

from __future__ import annotations

from typing import Any

import click

from ...asking import Ask, asks
from ...options.common import filled, number
from ...options.filled import take_thickened, thickened_option
from ...options.needs import catalyst_option, need_options, work_out
from ...options.stored import PRODUCT
from ...rendering import estimates


@click.command("tabbing")
@click.argument("length")
@click.option("--plies", type=int, required=True, metavar="N", help="How many plies.")
@click.option("--leg", required=True, metavar="LENGTH", help="The widest ply's, up each face.")
@click.option("--step", metavar="LENGTH", help="How far each ply is stepped back (25 mm).")
@click.option("--radius", metavar="RADIUS", help="Radius of the putty fillet.")
@click.option("--angle", type=number, metavar="DEGREES", help="Angle between the faces (90).")
@click.option("--sides", type=click.IntRange(1, 2), help="Sides of the part to tape (1).")
@click.option("--widest-first/--narrowest-first", default=None, help="Laying order (widest).")
@click.option(
    "--putty",
    type=PRODUCT,
    metavar="PRODUCT",
    help="The putty; its density gives the mass. Or its resin, with --consistency.",
)
@click.option("--cloth", type=PRODUCT, metavar="PRODUCT", help="Cloth of the strips, for --need.")
@thickened_option
@catalyst_option
@need_options
@asks
def command(ask: Ask, need: str | None, by: str | None, **given: Any) -> None:
    """Tape a part in along LENGTH: every strip to cut, and the putty of the fillet.

    \b
    Examples:
      cureyard plan tabbing "1.8 m" --plies 3 --leg "100 mm" --radius "12 mm" --sides 2
      cureyard plan tabbing "1.8 m" --plies 3 --leg "100 mm" --cloth TAPE --need 26-014
    """
    thickened = take_thickened(given)
    work_out(ask, "tabbing", filled(**given, **thickened), estimates.taped, need=need, by=by)
