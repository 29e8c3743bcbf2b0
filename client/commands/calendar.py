"""`cureyard calendar`: what turns when, for a phone or any other calendar."""

from __future__ import annotations

from typing import Any

import click

from .. import new_file
from ..api import at
from ..asking import Ask, asks
from ..groups import Noun
from ..options import filled, paged
from ..rendering import people

KIND = "text/calendar"


@click.group("calendar", cls=Noun)
def command() -> None:
    """Windows and milestones for a phone: show, subscribe, list, revoke."""


@command.command("show")
@click.option("--job", metavar="NUMBER", help="Only this job's layups.")
@click.option("--bay", metavar="CODE", help="Only the layups in this bay.")
@click.option("--out", type=click.Path(dir_okay=False), metavar="FILE", help="Write it to a file.")
@asks
def show_calendar(ask: Ask, job: str | None, bay: str | None, out: str | None) -> None:
    """Print the calendar as it is now, as an iCalendar file.

    A calendar that took it in once is not told when a window moves; one that
    subscribes is: see 'cureyard calendar subscribe'.

    \b
    Examples:
      cureyard calendar show --job 26-014
      cureyard calendar show --bay SHED --out shed.ics
    """
    if out is not None:
        new_file.refuse_taken(out)
    content = ask.api.get_file(at("calendar.ics"), KIND, job=job, bay=bay)
    if out is None:
        click.echo(content, nl=False)
        return
    new_file.write(out, content)
    events = content.count(b"BEGIN:VEVENT")
    ask.print({"file": out, "events": events}, lambda *_: [f"{out}: {events} events"])


@command.command("subscribe")
@click.option("--job", metavar="NUMBER", help="Of this job's layups.")
@click.option("--bay", metavar="CODE", help="Of the layups in this bay.")
@asks
def subscribe(ask: Ask, **of: str | None) -> None:
    """Make a secret address that a calendar subscribes to. It is shown this once.

    Whoever has it sees times and titles, and nothing else; make one for each phone.

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
            "Nobody knows yet where the service is reached, so this one leads nowhere. Say where, "
            "as in 'cureyard yard set --address https://yard.example', and make another."
        )


@command.command("list")
@paged
@asks
def list_feeds(ask: Ask, **query: Any) -> None:
    """List who subscribed to what, revoked ones too.

    \b
    Example:
      cureyard calendar list
    """
    ask.show_list(ask.api.get(at("feeds"), **query), people.feeds)


@command.command("revoke")
@click.argument("number", type=click.IntRange(1), metavar="ID")
@click.option("--reason", metavar="TEXT", help="Why; it is recorded.")
@asks
def revoke(ask: Ask, number: int, reason: str | None) -> None:
    """End an address, at once and for good: your own; a lead also another's.

    \b
    Example:
      cureyard calendar revoke 1 --reason "the phone was lost"
    """
    ask.show(ask.api.post(at("feeds", number, "revocation"), filled(reason=reason)), people.feed)
