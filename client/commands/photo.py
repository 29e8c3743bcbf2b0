"""`cureyard photo`: the photographs that were kept of jobs, layups and lots."""

from __future__ import annotations

from typing import Any

import click

from .. import new_file
from ..api import at
from ..asking import Ask, asks
from ..groups import Noun
from ..options.common import paged
from ..options.stored import JOB, LAYUP, LOT
from ..rendering import photographs
from ..withdrawals import withdraw_photograph

KIND = "image/jpeg"


@click.group("photo", cls=Noun)
def command() -> None:
    """Photographs: list, show, save, undo. To add one: 'job photo', 'layup photo', 'lot photo'."""


@command.command("list")
@click.option("--job", "-j", type=JOB, help="Those of this job and its layups.")
@click.option("--layup", type=LAYUP, help="Those of this layup.")
@click.option("--lot", type=LOT, help="Those of this lot.")
@paged
@asks
def list_photographs(
    ask: Ask, job: str | None, layup: str | None, lot: str | None, **query: Any
) -> None:
    """List the photographs of a job, a layup or a lot, with those that were taken back.

    \b
    Example:
      cureyard photo list --job 26-014
    """
    if sum(of is not None for of in (job, layup, lot)) != 1:
        raise click.UsageError("Name one: --job, --layup or --lot.")
    if lot is not None:
        path = ask.lot(lot)
    else:
        path = at("jobs", job) if job is not None else at("layups", str(layup))
    ask.show_list(ask.api.get(f"{path}/photographs", **query), photographs.listed)


@command.command("show")
@click.argument("photo", type=click.IntRange(1))
@asks
def show_photograph(ask: Ask, photo: int) -> None:
    """Show what is known of a photograph.

    \b
    Example:
      cureyard photo show 1
    """
    ask.show(ask.api.get(at("photographs", photo)), photographs.shown)


@command.command("save")
@click.argument("photo", type=click.IntRange(1))
@click.argument("file", type=click.Path(dir_okay=False))
@asks
def save_photograph(ask: Ask, photo: int, file: str) -> None:
    """Save a photograph's picture, a JPEG, into a new file.

    \b
    Example:
      cureyard photo save 1 kept.jpg
    """
    new_file.refuse_existing(file)
    new_file.write(file, ask.api.get_file(at("photographs", photo, "image"), KIND))
    ask.print({"file": file}, lambda *_: [file])


@command.command("undo")
@click.argument("photo", type=click.IntRange(1))
@click.option("--reason", metavar="TEXT", default="undone", help="Why (undone).")
@asks
def undo_photograph(ask: Ask, photo: int, reason: str) -> None:
    """Take a photograph back: it stays on record, and its picture is not shown any more.

    \b
    Example:
      cureyard photo undo 1 --reason "the wrong boat"
    """
    withdraw_photograph(ask, photo, reason)
