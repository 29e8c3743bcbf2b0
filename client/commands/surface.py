"""`cureyard surface`: what happened to a surface."""

from __future__ import annotations

from typing import Any

import click

from ..api import at as path_of
from ..asking import Ask, asks
from ..exits import Stopped
from ..groups import Noun, OfJob
from ..options.common import Choice, at_option, filled, paged
from ..options.stored import JOB
from ..rendering import wetness

KINDS = (
    "hauled_out", "washed", "rain", "opened", "heat_on", "heat_off", "touched", "oil", "dust",
    "prepared",
)  # fmt: skip
KIND = Choice(KINDS)


@click.group("surface", cls=Noun)
def command() -> None:
    """What happened to the surfaces of a job, such as rain or a wash: note, list, undo."""


@command.command("note")
@click.argument("job", type=JOB)
@click.argument("kind", type=KIND)
@click.option("--place", metavar="TEXT", help="The place (the whole boat).")
@click.option("--water", type=Choice(["sheets", "beads"]), help="How the last water of a wash ran.")
@click.option("--note", metavar="TEXT", help="What else there is to say.")
@at_option("When it was")
@asks
def note_surface(ask: Ask, job: str, at: str | None, **fields: str | None) -> None:
    """Note what happened to a surface.

    KIND is one of hauled_out, washed, rain, opened, heat_on, heat_off, touched, oil, dust and
    prepared: abraded and wiped. After rain, a hand's touch, oil or dust a prepared surface must be
    prepared again.

    \b
    Examples:
      cureyard surface note 26-014 washed --place "keel, frame 4" --water sheets
      cureyard surface note 26-014 prepared --at 08:30
      cureyard surface note 26-014 rain --at 07:30
    """
    body = filled(at=ask.moment(at), **fields)
    if fields["place"] == "":  # no place would be the whole boat
        raise Stopped("The place is empty.", "Name it, or leave --place out for the whole boat.")
    ask.show(ask.api.post(path_of("jobs", job, "surface-notes"), body), wetness.note_shown)


@command.command("list")
@click.argument("job", type=JOB)
@paged
@asks
def list_notes(ask: Ask, job: str, **query: Any) -> None:
    """List what happened to a job's surfaces.

    \b
    Example:
      cureyard surface list 26-014
    """
    noted = ask.api.get(path_of("jobs", job, "surface-notes"), **query)
    ask.show_list(noted, wetness.notes_listed)


@command.command("undo", cls=OfJob)
@click.argument("job", type=JOB)
@click.argument("entry", type=click.IntRange(1), metavar="NUMBER")
@click.option("--reason", metavar="TEXT", default="undone", help="Why (undone).")
@asks
def undo_note(ask: Ask, job: str, entry: int, reason: str) -> None:
    """Take back a note; it stays on record.

    \b
    Example:
      cureyard surface undo 26-014 1 --reason "the boat was under the roof"
    """
    path = path_of("jobs", job, "surface-notes", entry, "withdrawal")
    ask.show(ask.api.post(path, {"reason": reason}), wetness.taken_back)
