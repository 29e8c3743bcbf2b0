"""`cureyard draw`: take stock for a job."""

from __future__ import annotations

import click

from ..asking import Ask, asks
from ..options import at_option, filled, override_option, reason
from ..rendering import stock


@click.command("draw")
@click.argument("what", nargs=-1, required=True, metavar="[PRODUCT] QUANTITY")
@click.option("--lot", metavar="LOT", help="From this lot, instead of the first to expire.")
@click.option("--job", metavar="NUMBER", required=True, help="The job that it is for.")
@at_option("When it was taken")
@override_option
@asks
def command(
    ask: Ask,
    what: tuple[str, ...],
    lot: str | None,
    job: str,
    at: str | None,
    override: str | None,
) -> None:
    """Take stock for a job.

    Of a product, first expired goes first; or of one lot. QUANTITY has its unit, or is 'all'.

    \b
    Examples:
      cureyard draw MAT-450 "3.2 m" --job 26-014
      cureyard draw --lot MAT-450/7731 all --job 26-014
    """
    *product, quantity = what
    if len(product) + (lot is not None) != 1:
        raise click.UsageError("Give a PRODUCT and a QUANTITY, or a QUANTITY and --lot LOT.")
    body = filled(
        kind="draw", product="".join(product), lot=lot and ask.lot_id(lot), quantity=quantity,
        job=job, at=ask.moment(at), override=reason(override),
    )  # fmt: skip
    ask.show(ask.api.post("/v1/movements", body), stock.moved)
