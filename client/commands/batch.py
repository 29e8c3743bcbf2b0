"""`cureyard batch`: pots that were mixed."""

from __future__ import annotations

from functools import partial
from typing import Any

import click

from ..api import at
from ..asking import Ask, asks
from ..groups import Noun
from ..options import label
from ..options.common import at_option, filled, paged, why_option
from ..options.stored import BATCH, JOB
from ..rendering import pots
from ..withdrawals import last_observation, withdraw_observation


@click.group("batch", cls=Noun)
def command() -> None:
    """Mixed pots: list, show, note what was seen, undo that, label."""


@command.command("list")
@click.option("--job", "-j", type=JOB, help="Only pots of this job.")
@paged
@asks
def list_batches(ask: Ask, **query: Any) -> None:
    """List pots.

    \b
    Example:
      cureyard batch list --job 26-014
    """
    ask.show_list(ask.api.get("/v1/batches", **query), pots.listed)


@command.command("show")
@click.argument("batch", type=BATCH)
@why_option
@asks
def show_batch(ask: Ask, batch: str, why: bool) -> None:
    """Show the mix card of a pot. BATCH is its number, or the code on its label.

    \b
    Example:
      cureyard batch show 12
    """
    ask.show(ask.api.get(ask.batch(batch)), partial(pots.mixed, why=why))


@command.command("observe")
@click.argument("batch", type=BATCH)
@click.argument("kind", metavar="SEEN")
@at_option("When it was seen")
@click.option("--note", metavar="TEXT", help="What else there is to say.")
@asks
def observe_batch(ask: Ask, batch: str, kind: str, at: str | None, note: str | None) -> None:
    """Note what was seen of a pot.

    \b
    SEEN is one of:
      gelled       it no longer flows
      not_gelled   it still flows
      lost         it went into no part; its stock stays drawn
      not_mixed    never mixed; its stock goes back

    \b
    Example:
      cureyard batch observe 12 gelled --at 10:52
    """
    body = filled(kind=kind, at=ask.moment(at), note=note)
    ask.show(ask.api.post(ask.batch(batch) + "/observations", body), pots.mixed)


@command.command("undo")
@click.argument("batch", type=BATCH)
@click.argument("kind", metavar="SEEN")
@click.option("--reason", metavar="TEXT", default="undone", help="Why (undone).")
@asks
def undo_batch(ask: Ask, batch: str, kind: str, reason: str) -> None:
    """Take back the last observation SEEN of a pot; it stays on record.

    \b
    Example:
      cureyard batch undo 12 lost
    """
    number = ask.batch_id(batch)
    observations = ask.api.get(at("batches", number)).body["observations"]
    seen = last_observation(observations, kind, f"pot {number}")
    withdraw_observation(ask, "batches", number, seen, reason)


@command.command("label")
@click.argument("batch", type=BATCH)
@label.out_option
@asks
def label_batch(ask: Ask, batch: str, out: str) -> None:
    """Write the label of a pot, 60 × 40 mm; its QR code opens the pot's page.

    \b
    Example:
      cureyard batch label 12 --out pot-12.svg
    """
    label.write(ask, lambda: ask.batch(batch), out)
