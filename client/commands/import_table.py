"""`cureyard import`: a spreadsheet or a logger's file, tried first, then taken whole."""

from __future__ import annotations

import sys

import click

from ..api import Answer, at
from ..asking import Ask, asks
from ..options import filled
from ..rendering import tables
from ..tables import reading
from ..tables.progress import sending

KINDS = click.Choice(["products", "lots", "readings"])


@click.command("import")
@click.argument("kind", type=KINDS)
@click.argument("file", metavar="FILE", type=click.Path(exists=True, dir_okay=False,
                                                        allow_dash=True))  # fmt: skip
@click.option("--bay", metavar="CODE", help="Whose temperatures they are (readings).")
@click.option("--zone", metavar="ZONE",
              help="The logger's clock, such as UTC+01:00 (the yard's).")  # fmt: skip
@click.option("--dates", type=click.Choice(["dmy", "mdy"]),
              help="Which comes first in 03/04/2026, where the file leaves it open.")  # fmt: skip
@click.option("--sheet", metavar="NAME", help="Of a workbook with several.")
@click.option("--yes", is_flag=True, help="Do it, without trying it first.")
@asks
def command(
    ask: Ask,
    kind: str,
    file: str,
    bay: str | None,
    sheet: str | None,
    yes: bool,
    **query: str | None,
) -> None:
    """Take in a table: products, deliveries, a logger's readings.

    Without --yes it is only tried: what would be added is shown, and on a terminal you are
    asked. It is taken whole or not at all, and what stands there already is left as it is,
    so that a file taken in twice changes nothing.

    FILE is CSV or a workbook (.xlsx); - is stdin. Its first row names its columns, and
    'cureyard export' shows them. Draws and returns are not taken in: each is an act of its own.

    \b
    Examples:
      cureyard import products catalogue.csv
      cureyard import lots deliveries.xlsx --yes
      cureyard import readings logger.csv --bay SHED --zone UTC
    """
    if (kind == "readings") != (bay is not None):
        raise click.UsageError("Readings need --bay CODE, and nothing else has it.")
    table, notes = reading.read(file, sheet, kind)
    for note in notes:
        ask.say(note)
    path = at("imports", kind, *([bay] if bay else []))
    shown = tables.done
    if not yes:
        tried = _sent(ask, path, table, dry_run="true", **query)
        ask.show(tried, tables.tried)
        if not _wanted(ask, tried):
            return
        shown = tables.taken
    ask.show(_sent(ask, path, table, **query), shown)


def _sent(ask: Ask, path: str, table: bytes, **query: str | None) -> Answer:
    with sending(table) as followed:
        return ask.api.post_csv(path, followed, **filled(**query))


def _wanted(ask: Ask, tried: Answer) -> bool:
    """Whether to go on: there is something to add, and somebody says yes."""
    if not tried.body["added"]:
        ask.say("There is nothing to add.")
        return False
    if ask.as_json or not (sys.stdin.isatty() and sys.stderr.isatty()):
        ask.say("Nothing was changed: this was a trial. With --yes it is done.")
        return False
    return click.confirm("Do it?", err=True)
