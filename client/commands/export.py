"""`cureyard export`: a table for a spreadsheet."""

from __future__ import annotations

import sys
from collections.abc import Iterable
from pathlib import Path

import click

from ..api import at
from ..asking import Ask, asks
from ..exits import Stopped
from ..options.common import Choice, filled
from ..options.stored import BAY, JOB, LOT
from ..rendering.columns import shown
from ..tables.coming import Lines

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
    with ask.api.get_csv(at("exports", kind, *([bay] if bay else [])), **query) as came:
        lines = Lines(came)
        if file == "-":
            sys.stdout.writelines(shown(line) for line in lines)
            return
        _write(Path(file), lines, kind)
    rows = max(0, lines.count - 1)
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


def _write(path: Path, lines: Iterable[str], kind: str) -> None:
    """Write a table beside its place, and put it there when it is whole."""
    part = path.with_name(f"{path.name}.part")
    try:
        with part.open("wb") as made:
            if path.suffix.lower() == ".xlsx":
                from ..tables.workbook import workbook  # late: only a workbook needs the library

                workbook(lines, kind, made)
            else:
                made.write(MARK.encode())
                made.writelines(line.encode() for line in lines)
        part.replace(path)
    except OSError as error:
        raise Stopped(f"{path} can't be written: {error.strerror}.") from error
    finally:
        part.unlink(missing_ok=True)
