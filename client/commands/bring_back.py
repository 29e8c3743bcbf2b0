"""`cureyard return`: bring back what a job did not use."""

from __future__ import annotations

import click

from ..asking import Ask, asks
from ..options import at_option, filled
from ..rendering import stock


@click.command("return")
@click.argument("lot")
@click.argument("quantity")
@click.option("--job", metavar="NUMBER", required=True, help="The job that it comes from.")
@click.option("--length", metavar="LENGTH", help="Of an offcut: its length.")
@click.option("--width", metavar="LENGTH", help="Of an offcut: its width.")
@click.option("--reason", metavar="TEXT", help="Why it comes back.")
@at_option("When it came back")
@asks
def command(
    ask: Ask,
    lot: str,
    quantity: str,
    job: str,
    length: str | None,
    width: str | None,
    reason: str | None,
    at: str | None,
) -> None:
    """Bring back what a job did not use.

    A piece of a roll or sheet comes back as a lot of its own. Of a sheet, "1 piece" with
    --length and --width is the share of a whole sheet that they are. LOT is an id, a lot number,
    or PRODUCT/NUMBER.

    \b
    Examples:
      cureyard return LAM-PE/B-2207 "0.4 kg" --job 26-014
      cureyard return MAT-450/7731 "1.8 m" --job 26-014
      cureyard return PLY-12/5 "1 piece" --job 26-014 --length 900mm --width 400mm
    """
    body = filled(
        kind="return", lot=ask.lot_id(lot), quantity=quantity, job=job, reason=reason,
        size=filled(length=length, width=width), at=ask.moment(at),
    )  # fmt: skip
    ask.show(ask.api.post("/v1/movements", body), stock.moved)
