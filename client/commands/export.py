"""`cureyard export`: a table for a spreadsheet."""

from __future__ import annotations

from pathlib import Path

import click

from ..api import at
from ..asking import Ask, asks
from ..exits import Stopped
from ..options.common import Choice, filled
from ..options.stored import BAY, JOB, LOT

KINDS = Choice(["products", "lots", "readings", "movements"])
MARK = "\ufeff"
"""Tells a spreadsheet that the file is in UTF-8; left out where the table goes to a pipe."""


@click.command("export")
@click.argument("kind", type=KINDS)
@click.argument("file", metavar="FILE", type=click.Path(dir_okay=False, allow_dash=True))
@click.option("--bay", "-b", type=BAY, help="The bay of the readings (readings).")
@click.option("--job", "-j", type=JOB, help="Only this job's movements (movements).")
@click.option("--lot", type=LOT, help="Only this lot's movements (movements).")
@click.option("--force", is_flag=True, help="Write over an existing file.")
@asks
def command(
    ask: Ask, kind: str, file: str, bay: str | None, job: str | None, lot: str | None, force: bool
) -> None:
    """Write a table for a spreadsheet: CSV or a workbook.

    FILE ends in .csv or .xlsx; - is stdout, as CSV. The units are in the headings. Products
    are without their cure sheets, and empty lots are left out.

    \b
    Examples:
      cureyard export lots stock.xlsx
      cureyard export readings readings.csv --bay SHED
      cureyard export movements - --job 26-014
    """
    _check(kind, file, force, bay=bay, job=job, lot=lot)
    query = filled(job=job, lot=lot and ask.lot_id(lot))
    text = ask.api.get_csv(at("exports", kind, *([bay] if bay else [])), **query)
    rows = max(0, text.count("\n") - 1)
    if file == "-":
        click.echo(text.removeprefix(MARK), nl=False)
        return
    _write(Path(file), _bytes(text, file, kind))
    ask.print({"file": file, "rows": rows}, lambda answer, view: [f"{file}: {rows} rows"])


def _check(kind: str, file: str, force: bool, **options: str | None) -> None:
    fitting = {"readings": {"bay"}, "movements": {"job", "lot"}}.get(kind, set())
    for name, value in options.items():
        if value is not None and name not in fitting:
            raise click.UsageError(f"{kind} have no --{name}.")
    if kind == "readings" and options["bay"] is None:
        raise click.UsageError("Readings are of one bay: name it with --bay CODE.")
    if file != "-" and not file.lower().endswith((".csv", ".xlsx")):
        raise click.UsageError("FILE ends in .csv or .xlsx, or is - for stdout.")
    if file != "-" and Path(file).exists() and not force:
        raise Stopped(f"{file} is there already.", "Name another, or write over it with --force.")


def _bytes(text: str, file: str, kind: str) -> bytes:
    if file.lower().endswith(".csv"):
        return text.encode()
    from ..tables.workbook import workbook  # late: only a workbook needs the library

    return workbook(text.removeprefix(MARK), kind)


def _write(path: Path, content: bytes) -> None:
    try:
        path.write_bytes(content)
    except OSError as error:
        raise Stopped(f"{path} can't be written: {error.strerror}.") from error
