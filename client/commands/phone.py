"""`cureyard phone`: let a phone into the yard's network by a code, list phones, remove one."""

from __future__ import annotations

from typing import Any

import click

from ..api import at
from ..asking import Ask, asks
from ..exits import Stopped
from ..groups import Noun
from ..options.common import Choice, filled, paged
from ..rendering import phones

ROLES = Choice(["viewer", "hand", "lead"])


@click.group("phone", cls=Noun)
def command() -> None:
    """Phones in the yard's network: add, list, remove."""


@command.command("add")
@click.argument("name")
@click.option("--role", type=ROLES, required=True, help="What the phone may do.")
@asks
def add_phone(ask: Ask, name: str, role: str) -> None:
    """Draw a code that lets a phone in: within ten minutes, once.

    The phone scans it, and its browser shows a page with one button. Who presses the
    button is in, and what the phone does is recorded under its name.

    The yard has to be served to its network: cureyard serve --lan

    \b
    Example:
      cureyard phone add "Rui" --role hand
    """
    answer = ask.keeping.post(at("phones"), {"name": name, "role": role})
    if ask.as_json:
        ask.show(answer, phones.added)
    else:  # no pager: it would show the code's colours as signs
        click.echo("\n".join(phones.added(answer.body, ask.view)))


@command.command("list")
@paged
@asks
def list_phones(ask: Ask, **query: Any) -> None:
    """List phones, those that are out too.

    \b
    Example:
      cureyard phone list
    """
    ask.show_list(ask.keeping.get(at("phones"), **query), phones.phones_listed)


@command.command("remove")
@click.argument("name")
@click.option("--reason", metavar="TEXT", help="Why; the reason is recorded.")
@asks
def remove_phone(ask: Ask, name: str, reason: str | None) -> None:
    """Remove a phone, at once and for good, or withdraw the code that waits for it.

    \b
    Example:
      cureyard phone remove "Rui" --reason "the phone was lost"
    """
    found = ask.keeping.get(at("phones"), name=name.strip(), limit=1).body["items"]
    if not found:
        raise Stopped(f"There is no phone of the name {name}.", "List them: cureyard phone list")
    path = at("phones", found[0]["id"], "revocation")
    ask.show(ask.keeping.post(path, filled(reason=reason)), phones.phone_shown)
