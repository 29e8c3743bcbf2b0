"""`cureyard lot`: stock by lot number, one container a lot."""

from __future__ import annotations

import re
from typing import Any

import click

from ..api import Body, at
from ..asking import Ask, asks
from ..exits import Stopped
from ..groups import Noun
from ..options import label
from ..options.common import Choice, Option, at_option, filled, number, paged
from ..options.stored import BAY, LOT, PRODUCT
from ..photographs import keep, photo_options, show_with
from ..rendering import stock

_SIGNS = {"€": "EUR", "£": "GBP"}
"""Signs of one currency only; a dollar is several."""
_MONEY = re.compile(
    r"(?:(?P<sign>[€£])|(?P<code>[A-Za-z]{3}) )? ?(?P<amount>\d{1,12}(?:\.\d{1,6}|,\d\d)?)"
    r"(?(sign)|(?(code)| ?(?:(?P<after>[€£])|(?P<code_after>[A-Za-z]{3}))))"
)

STATES = Choice(["good", "soon", "expired", "held", "empty"])


@click.group("lot", cls=Noun)
def command() -> None:
    """Lots: receive, list, show, set, hold, release, open, move, test, extend, label, photo, accept."""  # noqa: E501 (one line in the listing)


@command.command("receive")
@click.argument("product", type=PRODUCT)
@click.argument("quantity")
@click.option("--number", required=True, metavar="NUMBER", help="The maker's lot number.")
@click.option("--container", metavar="NUMBER", help="Which of several under one number (1).")
@click.option("--made-on", metavar="DATE", help="When it was made.")
@click.option("--expires-on", metavar="DATE", help="The last day it is good, from the label.")
@click.option("--received-on", metavar="DATE", help="The day that it came (today).")
@at_option("When it came")
@click.option("--bay", "-b", type=BAY, help="Where it is put.")
@click.option("--cost", metavar="MONEY", help="Cost of the whole container, as '120.50 EUR'.")
@click.option("--cost-per", metavar="PRICE", help="Or its price, as '4.60 EUR/kg'.")
@click.option("--supplier", metavar="TEXT", help="Where it came from.")
@asks
def receive_lot(
    ask: Ask, cost: str | None, cost_per: str | None, at: str | None, **fields: str | None
) -> None:
    """Receive a delivery: one container of one lot.

    \b
    Example:
      cureyard lot receive LAM-PE "20 kg" --number B-2207 --expires-on 2027-01-31
    """
    body = filled(**fields, at=ask.moment(at), cost=_money(cost), cost_per=_price(cost_per))
    ask.show(ask.api.post("/v1/lots", body), stock.shown)


@command.command("list")
@click.option("--product", type=PRODUCT, help="Only lots of this product.")
@click.option("--state", type=STATES, help="Only lots in this state.")
@paged
@asks
def list_lots(ask: Ask, **query: Any) -> None:
    """List lots.

    \b
    Example:
      cureyard lot list --product LAM-PE
    """
    ask.show_list(ask.api.get("/v1/lots", **query), stock.listed)


@command.command("show")
@click.argument("lot", type=LOT)
@asks
def show_lot(ask: Ask, lot: str) -> None:
    """Show one lot. LOT is an id, a lot number, PRODUCT/NUMBER, or the code on its label.

    \b
    Example:
      cureyard lot show LAM-PE/B-2207
    """
    show_with(ask, ask.lot(lot), stock.shown)


@command.command("set")
@click.argument("lot", type=LOT)
@click.option("--expires-on", metavar="DATE", help="The last day it is good, from the drum.")
@click.option("--made-on", metavar="DATE", help="When it was made, from the drum.")
@click.option("--reason", metavar="TEXT", help="What shows it; needed to correct an earlier date.")
@asks
def set_lot(ask: Ask, lot: str, reason: str | None, **dates: str | None) -> None:
    """Set a lot's dates as they are on its drum. To correct an earlier date you must be a lead.

    \b
    Example:
      cureyard lot set LAM-PE/B-2207 --expires-on 2027-01-31
    """
    if not (given := filled(**dates)):
        raise Stopped("There is nothing to set.", "Give --expires-on or --made-on.")
    body = given | filled(reason=reason)
    ask.show(ask.api.patch(ask.lot(lot), body), stock.shown)


@command.command("hold")
@click.argument("lot", type=LOT)
@click.option("--reason", required=True, metavar="TEXT", help="What is suspect.")
@asks
def hold_lot(ask: Ask, lot: str, reason: str) -> None:
    """Hold a lot, so that nothing is drawn from it.

    \b
    Example:
      cureyard lot hold LAM-PE/B-2207 --reason "left in the sun"
    """
    ask.show(ask.api.patch(ask.lot(lot), {"held": True, "reason": reason}), stock.shown)


@command.command("release")
@click.argument("lot", type=LOT)
@click.option("--reason", required=True, metavar="TEXT", help="Why it is good after all.")
@asks
def release_lot(ask: Ask, lot: str, reason: str) -> None:
    """Release a held lot.

    \b
    Example:
      cureyard lot release LAM-PE/B-2207 --reason "cup test passed"
    """
    ask.show(ask.api.patch(ask.lot(lot), {"held": False, "reason": reason}), stock.shown)


@command.command("open")
@click.argument("lot", type=LOT)
@click.option(
    "--opened-on", cls=Option, old="--on", metavar="DATE", help="When it was opened (today)."
)
@asks
def open_lot(ask: Ask, lot: str, opened_on: str | None) -> None:
    """Say that a container was opened: its open life begins on that day.

    \b
    Example:
      cureyard lot open LAM-PE/B-2207
    """
    ask.show(ask.api.patch(ask.lot(lot), {"opened_on": opened_on or ask.today()}), stock.shown)


@command.command("move")
@click.argument("lot", type=LOT)
@click.argument("bay", type=BAY)
@asks
def move_lot(ask: Ask, lot: str, bay: str) -> None:
    """Move a lot to a bay.

    \b
    Example:
      cureyard lot move LAM-PE/B-2207 STORE
    """
    ask.show(ask.api.patch(ask.lot(lot), {"bay": bay}), stock.shown)


@command.command("test")
@click.argument("lot", type=LOT)
@click.option("--catalyst-lot", type=LOT, required=True, help="The catalyst's lot.")
@click.option("--mass", required=True, metavar="MASS", help="Resin in the cup, such as '100 g'.")
@click.option(
    "--temperature", "-t", required=True, metavar="TEMP", help="Temperature of that resin."
)
@click.option("--percent", type=number, metavar="PERCENT", help="Catalyst, if it is dosed.")
@click.option("--gel", "-g", required=True, metavar="TIME", help="How long it took to gel.")
@click.option("--second-gel", metavar="TIME", help="How long a second cup took to gel.")
@click.option(
    "--condition",
    type=Choice(["normal", "lumps", "strings", "skin"]),
    help="What the resin looked like.",
)
@at_option("When the cup was mixed")
@asks
def cup_test(
    ask: Ask,
    lot: str,
    catalyst_lot: str,
    percent: float | None,
    gel: str,
    second_gel: str | None,
    at: str | None,
    **fields: str | None,
) -> None:
    """Record a cup test: later doses of the lot use its result.

    \b
    Example:
      cureyard lot test LAM-PE/B-2207 --catalyst-lot PEROX-9/14 --mass "100 g" \\
        --temperature "21 degC" --percent 2 --gel "17 min"
    """
    body = filled(
        catalyst_lot=ask.lot_id(catalyst_lot), catalyst_percent=percent,
        gel_times=[time for time in (gel, second_gel) if time], at=ask.moment(at), **fields,
    )  # fmt: skip
    ask.show(ask.api.post(ask.lot(lot) + "/cup-tests", body), stock.tested)


@command.command("extend")
@click.argument("lot", type=LOT)
@click.option(
    "--expires-on",
    "until",
    cls=Option,
    old="--until",
    required=True,
    metavar="DATE",
    help="The last day it is good.",
)
@click.option("--reason", required=True, metavar="TEXT", help="What shows that it is still good.")
@asks
def extend_lot(ask: Ask, lot: str, until: str, reason: str) -> None:
    """Extend a lot's life, once, after a passed test.

    \b
    Example:
      cureyard lot extend LAM-PE/B-2207 --expires-on 2027-03-31 --reason "two cups in order"
    """
    body = {"until_on": until, "reason": reason}
    ask.show(ask.api.post(ask.lot(lot) + "/extensions", body), stock.shown)


@command.command("counts")
@paged
@asks
def list_counts(ask: Ask, **query: Any) -> None:
    """List the counts that found a difference and wait for a lead to accept them.

    \b
    Example:
      cureyard lot counts
    """
    ask.show_list(ask.api.get("/v1/movements", unaccepted="true", **query), stock.counted)


@command.command("accept")
@click.argument("count", type=int)
@click.option("--note", metavar="TEXT", help="What explains the difference.")
@asks
def accept_count(ask: Ask, count: int, note: str | None) -> None:
    """Accept the difference that a count found, as a lead. COUNT is its id in 'lot counts'.

    The difference was booked when the count was entered; your word confirms it.

    \b
    Example:
      cureyard lot accept 12 --note "the old drum leaked"
    """
    path = at("movements", count, "acceptance")
    ask.show(ask.api.post(path, filled(note=note)), stock.accepted)


@command.command("label")
@click.argument("lot", type=LOT)
@label.out_option
@asks
def label_lot(ask: Ask, lot: str, out: str) -> None:
    """Write the label of a container, 60 × 40 mm; its QR code opens the lot's page.

    \b
    Example:
      cureyard lot label LAM-PE/B-2207 --out drum.png
    """
    label.write(ask, lambda: ask.lot(lot), out)


def _amount(found: re.Match[str]) -> Body:
    """An amount and its currency; of a comma before two figures those are the cents."""
    said = found["sign"] or found["code"] or found["after"] or found["code_after"]
    amount = found["amount"].replace(",", ".")
    return {"amount": number(amount), "currency": _SIGNS.get(said, said.upper())}


def _money(text: str | None) -> Body | None:
    """`120.50 EUR` as the service takes it."""
    if text is None:
        return None
    if found := _MONEY.fullmatch(text.strip()):
        return _amount(found)
    raise Stopped(
        f"{text!r} is no cost.", "Write amount and currency, such as '120.50 EUR' or '€120.50'."
    )


def _price(text: str | None) -> Body | None:
    """`4.60 EUR/kg` or `4.60 EUR per kg` as the service takes it."""
    if text is None:
        return None
    money, _, per = text.replace(" per ", "/").partition("/")
    if (found := _MONEY.fullmatch(money.strip())) and per.strip():
        return {**_amount(found), "per": per.strip()}
    raise Stopped(
        f"{text!r} is no price.", "Write amount, currency and unit, such as '4.60 EUR/kg'."
    )


@command.command("photo")
@click.argument("lot", type=LOT)
@photo_options
@asks
def add_photograph(ask: Ask, lot: str, files: tuple[str, ...], shows: str) -> None:
    """Keep photographs of a lot: JPEG or PNG, made smaller, without what a camera writes in them.

    \b
    Example:
      cureyard lot photo LAM-PE/B-2207 label.jpg --shows "the label of the drum"
    """
    keep(ask, ask.lot(lot), files, shows)
