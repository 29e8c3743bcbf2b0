"""`cureyard leak`: leak tests of a bag, before resin is in it."""

from __future__ import annotations

from typing import Any

import click

from ..api import at as path_of
from ..asking import Ask, asks
from ..groups import Noun, OfJob
from ..options.common import at_option, filled, paged
from ..options.stored import JOB
from ..rendering import leaks


@click.group("leak", cls=Noun)
def command() -> None:
    """Leak tests of a job's bags: test, list, undo."""


@command.command(
    "test",
    cls=OfJob,
    minus="A pressure is told below the air, as a plain number: '880 hPa', not '-880 hPa'.",
)
@click.argument("job", type=JOB)
@click.argument("place")
@click.argument("first", metavar="PRESSURE")
@click.argument("second", metavar="PRESSURE")
@click.option("--first-at", required=True, metavar="TIME", help="When the first was read.")
@click.option("--absolute", is_flag=True, help="Both are absolute, not below the air.")
@click.option(
    "--air-pressure", metavar="PRESSURE", help="The air's own pressure; only with --absolute."
)
@click.option("--note", metavar="TEXT", help="What else there is to say.")
@at_option("When the second was read")
@asks
def record_test(
    ask: Ask, job: str, first_at: str, absolute: bool, at: str | None, **fields: Any
) -> None:
    """Record the leak test of a dry bag: its vacuum, read twice, 5 to 15 minutes apart.

    Pump the bag down, shut the valve to the pump, and read the gauge twice. Give both pressures as
    the gauge shows them below the air. PLACE says which bag.

    \b
    Examples:
      cureyard leak test 26-014 "hull, frames 3 to 6" "880 hPa" "850 hPa" \\
        --first-at "10 min ago"
      cureyard leak test 26-014 "hull, frames 3 to 6" "130 hPa" "160 hPa" \\
        --first-at "10 min ago" --absolute --air-pressure "1013 hPa"
    """
    body = filled(
        first_at=ask.moment(first_at),
        second_at=ask.moment(at),
        absolute=absolute or None,
        **fields,
    )
    ask.show(ask.api.post(path_of("jobs", job, "leak-tests"), body), leaks.shown)


@command.command("list")
@click.argument("job", type=JOB)
@paged
@asks
def list_tests(ask: Ask, job: str, **query: Any) -> None:
    """List a job's leak tests.

    \b
    Example:
      cureyard leak list 26-014
    """
    ask.show_list(ask.api.get(path_of("jobs", job, "leak-tests"), **query), leaks.listed)


@command.command("undo", cls=OfJob)
@click.argument("job", type=JOB)
@click.argument("entry", type=click.IntRange(1), metavar="NUMBER")
@click.option("--reason", metavar="TEXT", default="undone", help="Why (undone).")
@asks
def undo_test(ask: Ask, job: str, entry: int, reason: str) -> None:
    """Take back a leak test; it stays on record.

    \b
    Example:
      cureyard leak undo 26-014 1 --reason "another bag"
    """
    path = path_of("jobs", job, "leak-tests", entry, "withdrawal")
    ask.show(ask.api.post(path, {"reason": reason}), leaks.taken_back)
