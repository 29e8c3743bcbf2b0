"""`cureyard moisture`: moisture readings, films and samples, and when to measure again."""

from __future__ import annotations

from typing import Any

import click

from ..api import at as path_of
from ..asking import Ask, asks
from ..groups import Noun, OfJob
from ..options.common import Choice, at_option, bare_number, filled, number, paged
from ..options.stored import BAY, JOB
from ..rendering import wetness

OF = {"reading": "moisture-readings", "film": "film-tests", "sample": "weighed-samples"}
"""What can be listed and taken back, and where."""


@click.group("moisture", cls=Noun)
def command() -> None:
    """How wet a boat reads: read, film, weigh, show, list, undo."""


@command.command(
    "read",
    cls=OfJob,
    minus="What a meter shows is a plain number. If its scale goes below 0, type the numbers last, "
    "after a '--' of its own.",
)
@click.argument("job", type=JOB)
@click.argument("place")
@click.argument("placements", nargs=-1, required=True, type=bare_number, metavar="NUMBER...")
@click.option("--meter", required=True, metavar="CODE", help="The moisture meter.")
@click.option("--mode", required=True, metavar="NAME", help="The mode of the meter.")
@click.option(
    "--surface", "surface_temperature", required=True, metavar="TEMP", help="How warm the face is."
)
@click.option("--air", metavar="TEMP", help="How warm the air there is.")
@click.option(
    "--humidity", "humidity_percent", type=number, metavar="PERCENT", help="Relative humidity."
)
@click.option("--bay", "-b", type=BAY, help="Where the boat lies (the yard's only bay).")
@click.option("--dry", "dry_place", is_flag=True, help="The place is dry: for the reference.")
@at_option("When it was read")
@asks
def read_moisture(
    ask: Ask, job: str, place: str, placements: tuple[float, ...], at: str | None, **fields: Any
) -> None:
    """Record a reading of a place: three placements or more.

    Read three dry places of the boat first, with --dry, the same meter and mode. What does not
    count is kept, and the answer says why.

    \b
    Examples:
      cureyard moisture read 26-014 "topside, frame 2" 11 12 11 --meter CAP-1 --mode deep \\
        --surface "15 degC" --dry
      cureyard moisture read 26-014 "keel, frame 4" 58 57 59 --meter CAP-1 --mode deep \\
        --surface "15 degC" --air "16 degC" --humidity 60
    """
    body = filled(
        place=place,
        placements=list(placements),
        at=ask.moment(at),
        **{**fields, "dry_place": fields["dry_place"] or None},
    )
    ask.show(ask.api.post(path_of("jobs", job, "moisture-readings"), body), wetness.reading_shown)


@command.command("film")
@click.argument("job", type=JOB)
@click.argument("place")
@click.option("--taped-at", required=True, metavar="TIME", help="When the film was taped on.")
@click.option("--drops/--no-drops", required=True, help="Whether drops were under it.")
@at_option("When you looked")
@asks
def record_film(ask: Ask, job: str, place: str, taped_at: str, drops: bool, at: str | None) -> None:
    """Record what was under a film that was taped over a place for a day.

    \b
    Example:
      cureyard moisture film 26-014 "keel, frame 4" --taped-at "yesterday 09:00" --no-drops
    """
    taped, looked = ask.moment(taped_at), ask.moment(at)
    body = filled(place=place, taped_at=taped, looked_at=looked) | {"drops": drops}
    ask.show(ask.api.post(path_of("jobs", job, "film-tests"), body), wetness.film_shown)


@command.command("weigh")
@click.argument("job", type=JOB)
@click.argument("place")
@click.option("--wet", required=True, metavar="MASS", help="Its mass as it was.")
@click.option("--dried", required=True, metavar="MASS", help="Its mass after drying.")
@at_option("When it was taken")
@asks
def weigh_sample(ask: Ask, job: str, place: str, wet: str, dried: str, at: str | None) -> None:
    """Record a sample that was weighed, dried and weighed again: its water in percent.

    \b
    Example:
      cureyard moisture weigh 26-014 "keel, frame 4" --wet "18.42 g" --dried "15.90 g"
    """
    body = filled(place=place, wet=wet, dried=dried, at=ask.moment(at))
    ask.show(ask.api.post(path_of("jobs", job, "weighed-samples"), body), wetness.sample_shown)


@command.command("show")
@click.argument("job", type=JOB)
@click.option("--why", is_flag=True, help="Name the sources of the cautions.")
@asks
def show_wetness(ask: Ask, job: str, why: bool) -> None:
    """Show how wet a job's places read, and in which days to measure again.

    \b
    Example:
      cureyard moisture show 26-014
    """
    answer = ask.api.get(path_of("jobs", job, "wetness"))
    ask.show(answer, wetness.shown_with_sources if why else wetness.shown)


@command.command("list")
@click.argument("job", type=JOB)
@paged
@asks
def list_readings(ask: Ask, job: str, **query: Any) -> None:
    """List a job's moisture readings, and why one does not count.

    \b
    Example:
      cureyard moisture list 26-014
    """
    read = ask.api.get(path_of("jobs", job, "moisture-readings"), **query)
    ask.show_list(read, wetness.readings_listed)


@command.command("undo", cls=OfJob)
@click.argument("job", type=JOB)
@click.argument("what", type=Choice(list(OF)))
@click.argument("entry", type=click.IntRange(1), metavar="NUMBER")
@click.option("--reason", metavar="TEXT", default="undone", help="Why (undone).")
@asks
def undo_entry(ask: Ask, job: str, what: str, entry: int, reason: str) -> None:
    """Take back a reading, a film or a sample; it stays on record.

    \b
    Example:
      cureyard moisture undo 26-014 reading 1 --reason "frame 5"
    """
    path = path_of("jobs", job, OF[what], entry, "withdrawal")
    ask.show(ask.api.post(path, {"reason": reason}), wetness.taken_back)
