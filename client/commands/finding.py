"""`cureyard finding`: damage or wetness at a place of the boat."""

from __future__ import annotations

from typing import Any

import click

from ..api import at as path_of
from ..asking import Ask, asks
from ..groups import Noun, OfJob
from ..options.common import Choice, at_option, filled, paged
from ..options.stored import JOB
from ..photographs import keep, photo_options
from ..rendering import wetness

SIDE = Choice(["port", "starboard", "centreline"])
KIND = Choice(["blister", "crack", "delamination", "wet_core", "hole", "other"])


@click.group("finding", cls=Noun)
def command() -> None:
    """Findings of a job, such as blisters and cracks: add, list, photo, undo."""


@command.command("add")
@click.argument("job", type=JOB)
@click.argument("place")
@click.option("--side", required=True, type=SIDE, help="The side of the boat.")
@click.option("--kind", required=True, type=KIND, help="What it is.")
@click.option("--length", required=True, metavar="LENGTH", help="How long it is.")
@click.option("--width", required=True, metavar="LENGTH", help="How wide it is.")
@click.option("--depth", metavar="LENGTH", help="How deep it is; left out, it was not opened.")
@click.option("--found-by", required=True, metavar="TEXT", help="How it was found.")
@click.option("--note", metavar="TEXT", help="What else there is to say.")
@at_option("When it was found")
@asks
def add_finding(ask: Ask, job: str, place: str, at: str | None, **fields: str | None) -> None:
    """Record what was found at a place, in your own words for the place.

    \b
    Example:
      cureyard finding add 26-014 "keel, frame 4" --side port --kind blister \\
        --length "120 mm" --width "80 mm" --found-by "by eye"
    """
    body = filled(place=place, at=ask.moment(at), **fields)
    ask.show(ask.api.post(path_of("jobs", job, "findings"), body), wetness.finding_shown)


@command.command("list")
@click.argument("job", type=JOB)
@paged
@asks
def list_findings(ask: Ask, job: str, **query: Any) -> None:
    """List a job's findings.

    \b
    Example:
      cureyard finding list 26-014
    """
    found = ask.api.get(path_of("jobs", job, "findings"), **query)
    ask.show_list(found, wetness.findings_listed)


@command.command("photo")
@click.argument("job", type=JOB)
@click.argument("finding", type=click.IntRange(1))
@photo_options
@asks
def add_photograph(ask: Ask, job: str, finding: int, files: tuple[str, ...], shows: str) -> None:
    """Keep photographs of a finding, eight at most: as 'layup photo' does.

    \b
    Example:
      cureyard finding photo 26-014 1 blister.jpg --shows "before it was opened"
    """
    keep(ask, path_of("jobs", job, "findings", finding), files, shows)


@command.command("undo", cls=OfJob)
@click.argument("job", type=JOB)
@click.argument("finding", type=click.IntRange(1))
@click.option("--reason", metavar="TEXT", default="undone", help="Why (undone).")
@asks
def undo_finding(ask: Ask, job: str, finding: int, reason: str) -> None:
    """Take back a finding; it stays on record.

    \b
    Example:
      cureyard finding undo 26-014 1 --reason "that was the next boat"
    """
    path = path_of("jobs", job, "findings", finding, "withdrawal")
    ask.show(ask.api.post(path, {"reason": reason}), wetness.taken_back)
