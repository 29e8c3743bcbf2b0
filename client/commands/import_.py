"""`cureyard import`: a spreadsheet or a logger's file, first tried, then imported as a whole."""

from __future__ import annotations

from pathlib import Path

import click

from ..api import Answer, at
from ..asking import Ask, asks
from ..options.common import Choice, filled
from ..options.stored import BAY
from ..rendering import imports
from ..tables import reading
from ..tables.progress import sending

KINDS = Choice(["products", "lots", "readings"])


@click.command("import")
@click.argument("kind", type=KINDS)
@click.argument(
    "file", metavar="FILE", type=click.Path(exists=True, dir_okay=False, allow_dash=True)
)
@click.option("--bay", "-b", type=BAY, help="The bay of the readings (readings).")
@click.option("--zone", metavar="ZONE", help="The logger's clock, such as UTC+01:00 (the yard's).")
@click.option(
    "--dates",
    type=Choice(["dmy", "mdy"]),
    help="Day or month first in 03/04/2026, if the file does not show it.",
)
@click.option("--sheet", metavar="NAME", help="Which sheet of a workbook, if it has several.")
@click.option("--yes", is_flag=True, help="Import it without a trial.")
@click.option(
    "--follow", is_flag=True, help="Go on as the file grows, without a trial, until Ctrl-C."
)
@asks
def command(
    ask: Ask,
    kind: str,
    file: str,
    bay: str | None,
    sheet: str | None,
    yes: bool,
    follow: bool,
    **query: str | None,
) -> None:
    """Take in a table: products, deliveries, a logger's readings.

    Without --yes this is a trial: you see what would be added, and on a terminal you are asked.
    A table is imported whole or not at all. Rows that are there already stay as they are, so a
    file imported twice changes nothing.

    FILE is CSV or a workbook (.xlsx); - is stdin. Its first row names its columns; 'cureyard
    export' shows their names. Draws and returns can't be imported: enter each by itself.

    With --follow a logger's file is a probe: what jumped is doubted at first, and a bay
    that falls silent is told.

    \b
    Examples:
      cureyard import products catalogue.csv
      cureyard import lots deliveries.xlsx --yes
      cureyard import readings logger.csv --bay SHED --zone UTC
      cureyard import readings logger.csv --bay SHED --follow
    """
    if (kind == "readings") != (bay is not None):
        raise click.UsageError("Readings need --bay CODE, and no other table takes it.")
    if follow:
        if bay is None or file == "-" or sheet is not None:
            raise click.UsageError("--follow goes with readings, a file of text and --bay alone.")
        _follow(ask, file, bay, filled(**query))
        return
    table, notes = reading.read(file, sheet, kind)
    for note in notes:
        ask.say(note)
    path = at("imports", kind, *([bay] if bay else []))
    render = imports.imported
    if not yes:
        trial = _send(ask, path, table, dry_run="true", **query)
        ask.show(trial, imports.tried)
        if not _confirmed(ask, trial):
            return
        render = imports.added
    ask.show(_send(ask, path, table, **query), render)


def _follow(ask: Ask, file: str, bay: str, query: dict[str, str]) -> None:
    from ..sensors.follower import Follower

    follower = Follower(
        ask.api, bay, Path(file), query, ask.say, lambda answer: ask.show(answer, imports.followed)
    )
    ask.say(f"Following {file}; Ctrl-C ends it.")
    follower.follow()


def _send(ask: Ask, path: str, table: bytes, **query: str | None) -> Answer:
    with sending(table) as data:
        return ask.api.post_csv(path, data, **filled(**query))


def _confirmed(ask: Ask, trial: Answer) -> bool:
    """Whether to import: there is something to add, and the person says yes."""
    if not trial.body["added"]:
        ask.say("There is nothing to add.")
        return False
    if not ask.can_confirm:
        ask.say("Nothing was changed: this was a trial. With --yes it is done.")
        return False
    return click.confirm("Do it?", err=True)
