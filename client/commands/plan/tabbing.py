"""`cureyard plan tabbing`: a part taped in along a corner, and the putty under the tape."""

from __future__ import annotations

from typing import Any

import click

from ...asking import Ask, asks
from ...options import filled, number
from ...rendering import repairs
from .needing import need_options, work_out


@click.command("tabbing")
@click.argument("length")
@click.option("--plies", type=int, required=True, metavar="N", help="How many.")
@click.option("--leg", required=True, metavar="LENGTH", help="The widest ply's, up each face.")
@click.option("--step", metavar="LENGTH", help="That each ply is stepped back (25 mm).")
@click.option("--radius", metavar="RADIUS", help="Of the putty fillet.")
@click.option("--angle", type=number, metavar="DEGREES", help="Between the faces (90).")
@click.option("--sides", type=click.IntRange(1, 2), help="Of the part that are taped (1).")
@click.option("--widest-first/--narrowest-first", default=None, help="Laying order (widest).")
@click.option("--putty", metavar="PRODUCT", help="For its mass, by its density.")
@click.option("--cloth", metavar="PRODUCT", help="Of the strips, for --need.")
@click.option("--catalyst", metavar="CODE", help="Or hardener, where several fit.")
@need_options
@asks
def command(ask: Ask, need: str | None, by: str | None, **given: Any) -> None:
    """Tape a part in along LENGTH: every strip to cut, and the fillet putty.

    \b
    Examples:
      cureyard plan tabbing "1.8 m" --plies 3 --leg "100 mm" --radius "12 mm" --sides 2
      cureyard plan tabbing "1.8 m" --plies 3 --leg "100 mm" --cloth TAPE --need 26-014
    """
    work_out(ask, "tabbing", filled(**given), repairs.taped, need=need, by=by)
