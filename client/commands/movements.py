"""`cureyard draw`, `return`, `scrap` and `count`: what changes the amount of a lot."""

from __future__ import annotations

import click

from ..asking import Ask, asks
from ..options.common import at_option, filled, override_body, override_option
from ..options.stored import JOB, LOT, PRODUCT
from ..rendering import stock


@click.command("draw")
@click.argument("what", nargs=-1, required=True, type=PRODUCT, metavar="[PRODUCT] QUANTITY")
@click.option("--lot", type=LOT, help="Draw from this lot, not from the first to expire.")
@click.option("--job", "-j", type=JOB, help="The job that it is for.")
@at_option("When it was taken")
@override_option
@asks
def draw(
    ask: Ask,
    what: tuple[str, ...],
    lot: str | None,
    job: str | None,
    at: str | None,
    override: str | None,
) -> None:
    """Take stock for a job.

    Name a product, and the lot that expires first is used first; or name one lot. QUANTITY has
    its unit, or is 'all'.

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
        job=ask.needed("job", job), at=ask.moment(at), override=override_body(override),
    )  # fmt: skip
    ask.show(ask.api.post("/v1/movements", body), stock.moved)


@click.command("return")
@click.argument("lot", type=LOT)
@click.argument("quantity")
@click.option("--job", "-j", type=JOB, help="The job that it comes from.")
@click.option("--length", metavar="LENGTH", help="The length of an offcut.")
@click.option("--width", metavar="LENGTH", help="The width of an offcut.")
@click.option("--reason", metavar="TEXT", help="Why it comes back.")
@at_option("When it came back")
@asks
def bring_back(
    ask: Ask,
    lot: str,
    quantity: str,
    job: str | None,
    length: str | None,
    width: str | None,
    reason: str | None,
    at: str | None,
) -> None:
    """Bring back what a job did not use.

    A piece of a roll or sheet comes back as a new lot. For a piece of a sheet write "1 piece"
    with --length and --width; it counts as its share of a whole sheet. LOT is an id, a lot
    number, or PRODUCT/NUMBER.

    \b
    Examples:
      cureyard return LAM-PE/B-2207 "0.4 kg" --job 26-014
      cureyard return MAT-450/7731 "1.8 m" --job 26-014
      cureyard return PLY-12/5 "1 piece" --job 26-014 --length 900mm --width 400mm
    """
    body = filled(
        kind="return", lot=ask.lot_id(lot), quantity=quantity, job=ask.needed("job", job),
        reason=reason,
        size=filled(length=length, width=width), at=ask.moment(at),
    )  # fmt: skip
    ask.show(ask.api.post("/v1/movements", body), stock.moved)


@click.command("scrap")
@click.argument("lot", type=LOT)
@click.argument("quantity")
@click.option("--reason", metavar="TEXT", required=True, help="Why it is no good.")
@at_option("When it was scrapped")
@asks
def scrap(ask: Ask, lot: str, quantity: str, reason: str, at: str | None) -> None:
    """Write off stock, with the reason.

    LOT is an id, a lot number, or PRODUCT/NUMBER. QUANTITY has its unit, or is 'all'.

    \b
    Example:
      cureyard scrap LAM-PE/B-2207 all --reason "gelled in the drum"
    """
    body = filled(
        kind="scrap", lot=ask.lot_id(lot), quantity=quantity, reason=reason, at=ask.moment(at)
    )
    ask.show(ask.api.post("/v1/movements", body), stock.moved)


@click.command("count")
@click.argument("lot", type=LOT)
@click.argument("quantity")
@at_option("When it was counted")
@click.option("--reason", metavar="TEXT", help="What explains the difference.")
@asks
def count(ask: Ask, lot: str, quantity: str, at: str | None, reason: str | None) -> None:
    """Say how much of a lot is really there.

    The difference is booked at once. LOT is an id, a lot number, or PRODUCT/NUMBER. QUANTITY
    may be '0 kg'.

    \b
    Example:
      cureyard count LAM-PE/B-2207 "17.4 kg"
    """
    body = filled(
        kind="count", lot=ask.lot_id(lot), quantity=quantity, counted_at=ask.moment(at),
        reason=reason,
    )  # fmt: skip
    ask.show(ask.api.post("/v1/movements", body), stock.moved)
