"""`cureyard mix`: one pot, dosed and drawn."""

from __future__ import annotations

from functools import partial
from typing import Any

import click

from ..asking import Ask, asks
from ..options.common import at_option, filled, override_body, override_option, why_option
from ..options.dose import dose_options
from ..options.stored import JOB, LOT
from ..rendering import pots


@click.command("mix")
@dose_options
@click.option("--job", type=JOB, required=True, help="The job that it is for.")
@click.option("--resin-lot", type=LOT, help="The resin's lot, if not the first to expire.")
@click.option("--catalyst-lot", type=LOT, help="The catalyst's lot, if not the first to expire.")
@click.option(
    "--filler",
    "fillers",
    nargs=2,
    multiple=True,
    metavar="PRODUCT QUANTITY",
    help="A filler in the mix; may be repeated.",
)
@click.option(
    "--promoter",
    nargs=2,
    metavar="PRODUCT AMOUNT",
    help="A promoter, stirred into the resin first, on its own.",
)
@at_option("When it was mixed")
@override_option
@why_option
@asks
def command(
    ask: Ask,
    job: str,
    resin_lot: str | None,
    catalyst_lot: str | None,
    fillers: tuple[tuple[str, str], ...],
    promoter: tuple[str, str] | None,
    at: str | None,
    override: str | None,
    why: bool,
    **given: Any,
) -> None:
    """Dose a pot, draw it from stock and print its mix card.

    \b
    Example:
      cureyard mix LAM-PE "2 kg" --job 26-014 --bay SHED --gel "25 min" \\
        --filler MICROS "120 g"
    """
    body = filled(
        **given,
        job=job,
        resin_lot=resin_lot and ask.lot_id(resin_lot),
        catalyst_lot=catalyst_lot and ask.lot_id(catalyst_lot),
        fillers=[{"product": product, "quantity": quantity} for product, quantity in fillers],
        promoter=promoter and {"product": promoter[0], "quantity": promoter[1]},
        mixed_at=ask.moment(at),
        override=override_body(override),
    )
    ask.show(ask.api.post("/v1/batches", body), partial(pots.mixed, why=why))
