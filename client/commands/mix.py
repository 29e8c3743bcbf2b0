"""`cureyard mix`: one pot, dosed and drawn, and if wanted laid."""

from __future__ import annotations

import json
import shlex
from functools import partial
from typing import TYPE_CHECKING, Any

import click

from ..answers import Record
from ..api import at as path_of
from ..asking import Ask, asks
from ..exits import Forbidden, Refused, Stopped
from ..options.common import (
    LAID,
    at_option,
    filled,
    override_body,
    override_option,
    why_option,
)
from ..options.dose import bag_option, dose_options
from ..options.filled import thickens
from ..options.stored import JOB, LOT
from ..rendering import layups, pots

if TYPE_CHECKING:
    from ..api import Answer, Body


@click.command("mix")
@dose_options
@bag_option
@click.option("--job", "-j", type=JOB, help="The job that it is for.")
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
    "--consistency",
    "thickened",
    type=thickens,
    metavar="FILLER WORD",
    help="A filler weighed by its own sheet, so that the mix pours, sags, 'holds a ridge' or "
    "'stays put'.",
)
@click.option(
    "--promoter",
    nargs=2,
    metavar="PRODUCT AMOUNT",
    help="A promoter, stirred into the resin first, on its own.",
)
@click.option("--lay", metavar="TITLE", help="Lay it too: the title of the layup.")
@click.option(
    "--kind", type=LAID, metavar="KIND", help="laminate, coat, bond or pour; only with --lay."
)
@click.option("--over", type=int, metavar="ID", help="The layup that it covers; only with --lay.")
@at_option("When it was mixed")
@override_option
@why_option
@asks
def command(
    ask: Ask,
    job: str | None,
    resin_lot: str | None,
    catalyst_lot: str | None,
    fillers: tuple[tuple[str, str], ...],
    thickened: tuple[str, str] | None,
    promoter: tuple[str, str] | None,
    lay: str | None,
    kind: str | None,
    over: int | None,
    at: str | None,
    override: str | None,
    why: bool,
    **given: Any,
) -> None:
    """Dose a pot, draw it from stock and print its mix card.

    --lay also records its layup. If the layup is refused, the pot stays mixed. Nothing is mixed
    for a layer --over wax that nobody sanded off. With --json both answers are printed, as batch
    and layup.

    \b
    Examples:
      cureyard mix LAM-PE "2 kg" --job 26-014 --bay SHED --gel "25 min" \\
        --filler MICROS "120 g"
      cureyard mix LAM-PE 500g -t "20 degC" -g 25min --job 26-014 \\
        --consistency MICROS "holds a ridge"
      cureyard mix LAM-PE 2kg -g 25min --job 26-014 --bay SHED --lay "Plies 1 to 3" \\
        --kind laminate
    """
    if (lay is None) != (kind is None):
        raise click.UsageError("--lay TITLE and --kind go together.")
    if over is not None and lay is None:
        raise click.UsageError("--over ID is of the layup: give --lay TITLE and --kind too.")
    job = ask.needed("job", job)
    usual = ask.usual if lay is None else ask.needed
    given["bay"] = usual("bay", given["bay"])
    body = filled(
        **given,
        job=job,
        resin_lot=resin_lot and ask.lot_id(resin_lot),
        catalyst_lot=catalyst_lot and ask.lot_id(catalyst_lot),
        fillers=_stirred_in(fillers, thickened),
        promoter=promoter and {"product": promoter[0], "quantity": promoter[1]},
        mixed_at=(moment := ask.moment(at)),
        override=override_body(override),
    )
    if over is not None and override is None:
        _refuse_wax(ask, over)
    batch = ask.api.post("/v1/batches", body)
    if lay is None:
        ask.show(batch, partial(pots.mixed, why=why))
        return
    if not ask.as_json:
        ask.show(batch, partial(pots.mixed, why=why, laid=True))
        click.echo()
    layup = filled(job=job, title=lay, kind=kind, bay=given["bay"], over=over, applied_at=moment)
    laid = _lay(ask, batch.body, layup)
    if ask.as_json:
        ask.print({"batch": batch.body, "layup": laid.body}, layups.shown)
    else:
        ask.show(laid, layups.shown)


def _refuse_wax(ask: Ask, over: int) -> None:
    """Refuse to mix for a layer that is to go on wax.

    Raises:
        Forbidden: nobody sanded the layup below.
    """
    below = ask.api.get(path_of("layups", str(over))).body
    sanded = any(seen["kind"] == "sanded" for seen in below["observations"])
    if below["surface"] != "waxed" or below["cover"] != "none" or sanded:
        return
    raise Forbidden(
        f"Layup {over}, {below['title']}, has wax on its face, and nobody noted that it was "
        "sanded: nothing bonds to wax. Nothing was mixed.",
        f"Once it is hard, wipe it and sand it to dull, and type: cureyard layup observe {over} "
        "sanded",
    )


def _stirred_in(
    weighed: tuple[tuple[str, str], ...], thickened: tuple[str, str] | None
) -> list[Body]:
    """The fillers: each with its quantity, and the one that is weighed by a consistency."""
    fillers: list[Body] = [{"product": code, "quantity": quantity} for code, quantity in weighed]
    if thickened is not None:
        fillers.append({"product": thickened[0], "consistency": thickened[1]})
    return fillers


def _lay(ask: Ask, batch: Record, layup: Body) -> Answer:
    """Record the layup of a pot that was just mixed.

    Raises:
        Stopped: it was not laid; the message says that the pot stays mixed, and what to type.
    """
    try:
        return ask.api.post("/v1/layups", {**layup, "batches": [batch["id"]]})
    except Stopped as stopped:
        stopped.done = [f"Pot {batch['id']} is mixed and drawn, and stays so. It is not laid:"]
        given = {"--over": layup.get("over"), "--at": layup.get("applied_at")}
        rest = "".join(f" {name} {value}" for name, value in given.items() if value is not None)
        stopped.advice = (
            f"{stopped.advice} Then type: cureyard layup start {shlex.quote(layup['job'])} "
            f"{shlex.quote(layup['title'])} --kind {layup['kind']} --bay {layup['bay']} "
            f"--batch {batch['id']}{rest}"
        ).strip()
        if isinstance(stopped, Refused):
            refused = {"batch": batch, "layup": None, "refused": stopped.problem}
            stopped.text = json.dumps(refused, ensure_ascii=False)
        raise
