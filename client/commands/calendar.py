"""`cureyard calendar`: windows and milestones for a phone or another calendar."""

from __future__ import annotations

from typing import Any

import click

from .. import new_file
from ..api import at
from ..asking import Ask, asks
from ..groups import Noun
from ..options.common import filled, paged
from ..options.stored import BAY, JOB
from ..rendering import people
from ..rendering.columns import shown

KIND = "text/calendar"


@click.group("calendar", cls=Noun)
def command() -> None:
    """Windows and milestones for a phone: show, subscribe, list, revoke."""


@command.command("show")
@click.option("--job", "-j", type=JOB, help="Only this job's layups.")
@click.option("--bay", "-b", type=BAY, help="Only the layups in this bay.")
@click.option("--all", "everything", is_flag=True, help="Every milestone, not only windows.")
@click.option("--out", type=click.Path(dir_okay=False), metavar="FILE", help="Write it to a file.")
@asks
def show_calendar(
    ask: Ask, job: str | None, bay: str | None, everything: bool, out: str | None
) -> None:
    """Print the calendar as it is now, as an iCalendar file.

    A calendar that reads this file once does not follow when a window moves. One that
    subscribes does: see 'cureyard calendar subscribe'.

    \b
    Examples:
      cureyard calendar show --job 26-014
      cureyard calendar show --bay SHED --out shed.ics
    """
    new_file.refuse_existing(out)
    query = filled(job=job, bay=bay, all="true" if everything else None)
    content = ask.api.get_file(at("calendar.ics"), KIND, **query)
    if out is None:
        click.echo(shown(content.decode(errors="replace")), nl=False)
        return
    new_file.write(out, content)
    events = content.count(b"BEGIN:VEVENT")
    ask.print({"file": out, "events": events}, lambda *_: [f"{out}: {events} events"])


@command.command("subscribe")
@click.option("--job", "-j", type=JOB, help="Only this job's layups.")
@click.option("--bay", "-b", type=BAY, help="Only the layups in this bay.")
@asks
def subscribe(ask: Ask, **of: str | None) -> None:
    """Make a secret address that a calendar subscribes to. It is shown only this once.

    A person who has the address sees times, crafts, titles and bays, and nothing else. Make
    one for each phone. With ?all=true at its end it gives every milestone.

    \b
    Examples:
      cureyard calendar subscribe
      cureyard calendar subscribe --bay SHED
    """
    answer = ask.api.post(at("feeds"), filled(**of))
    ask.show(answer, people.subscribed)
    number = answer.body["id"]
    ask.say(f"It is shown only now. To end it: cureyard calendar revoke {number}")
    if answer.body["address"].startswith("http://localhost/"):
        ask.say(
            "The yard's address is not set, so this one leads nowhere. Set it, as in "
            "'cureyard yard set --address https://yard.example', and make another."
        )


@command.command("list")
@paged
@asks
def list_feeds(ask: Ask, **query: Any) -> None:
    """List the calendar addresses, the revoked ones too.

    \b
    Example:
      cureyard calendar list
    """
    ask.show_list(ask.api.get(at("feeds"), **query), people.feeds_listed)


@command.command("revoke")
@click.argument("number", type=click.IntRange(1), metavar="ID")
@click.option("--reason", metavar="TEXT", help="Why; the reason is recorded.")
@asks
def revoke(ask: Ask, number: int, reason: str | None) -> None:
    """End an address, at once and for good: your own, or as a lead anybody's.

    \b
    Example:
      cureyard calendar revoke 1 --reason "the phone was lost"
    """
    ask.show(
        ask.api.post(at("feeds", number, "revocation"), filled(reason=reason)), people.feed_shown
    )
