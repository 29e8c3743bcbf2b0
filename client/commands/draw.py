"""`cureyard draw`: take stock for a job."""

from __future__ import annotations

import click

from ..asking import Ask, asks
from ..options import at_option, filled, override_option, reason
from ..rendering import stock


@click.command("draw")
@click.argument("product", required=False)
@click.argument("quantity")
@click.option("--lot", metavar="LOT", help="From this lot, instead of the first to expire.")
@click.option("--job", metavar="NUMBER", required=True, help="The job that it is for.")
@at_option("When it was taken")
@override_option
@asks
def command(
    ask: Ask,
    product: str | None,
    quantity: str,
    lot: str | None,
    job: str,
    at: str | None,
    override: str | None,
) -> None:
    """Take stock for a job: of a product, first expired first, or of one lot.

    QUANTITY has its unit, or is 'all'.

    \b
    Examples:
      cureyard draw MAT-450 "3.2 m" --job 26-014
      cureyard draw --lot MAT-450/7731 all --job 26-014
    """
    body = filled(
        kind="draw", **ask.taken(product, lot), quantity=quantity, job=job,
        at=ask.moment(at), override=reason(override),
    )  # fmt: skip
    ask.show(ask.api.post("/v1/movements", body), stock.moved)
