"""`cureyard token`: who may use a service, and in which role."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, TextIO

import click

from ..api import at
from ..asking import Ask, asks
from ..groups import Noun
from ..options.common import Choice, filled, paged
from ..options.stored import BAY
from ..rendering import people
from ..settings import checked

ROLES = Choice(["viewer", "hand", "lead", "admin", "sensor"])


@click.group("token", cls=Noun)
def command() -> None:
    """Who may use the yard, and in which role: add, list, revoke, keep."""


@command.command("add")
@click.argument("name")
@click.option("--role", type=ROLES, required=True, help="What that person may do.")
@click.option("--bay", "-b", type=BAY, help="The one bay of a sensor.")
@asks
def add_token(ask: Ask, name: str, role: str, bay: str | None) -> None:
    """Make a token for a person or a sensor. It is shown only this once.

    A viewer looks; a hand draws, mixes, lays up and reads; a lead also edits the
    catalogue, releases and overrides; an admin also makes tokens. A sensor posts
    readings of its bay, and may do nothing else: see 'cureyard help sensors'.

    \b
    Examples:
      cureyard token add "Rui" --role hand
      cureyard token add "Shed probe" --role sensor --bay SHED
    """
    api = ask.on_the_store("token add")
    ask.show(api.post("/v1/tokens", filled(name=name, role=role, bay=bay)), people.token_made)
    if role == "sensor":
        ask.say("It is shown only now. The device sends it as 'Authorization: Bearer …'.")
        return
    ask.say(f"It is shown only now. {name} keeps it with: cureyard token keep")


@command.command("list")
@paged
@asks
def list_tokens(ask: Ask, **query: Any) -> None:
    """List tokens, revoked ones too.

    \b
    Example:
      cureyard token list
    """
    ask.show_list(ask.on_the_store("token list").get("/v1/tokens", **query), people.tokens_listed)


@command.command("revoke")
@click.argument("number", type=click.IntRange(1), metavar="ID")
@click.option("--reason", metavar="TEXT", help="Why; the reason is recorded.")
@asks
def revoke_token(ask: Ask, number: int, reason: str | None) -> None:
    """Revoke a token, at once and for good.

    \b
    Example:
      cureyard token revoke 3 --reason "the phone was lost"
    """
    api = ask.on_the_store("token revoke")
    path = at("tokens", number, "revocation")
    ask.show(api.post(path, filled(reason=reason)), people.token_shown)


@command.command("keep")
@click.option("--file", type=click.File(), help="Read it from a file; - is stdin.")
@asks
def keep_token(ask: Ask, file: TextIO | None) -> None:
    """Keep your token for the service that is set, so that commands send it.

    You type the token without seeing it. It is kept in a file that only you can read.

    \b
    Examples:
      cureyard token keep
      cureyard token keep --file - < token.txt
    """
    from .. import token_file

    typed = file.read() if file else click.prompt("Token", hide_input=True, err=True)
    mine = checked(replace(ask.settings, token=typed.strip()))
    Ask(mine).api.get("/v1/yard")  # refuses a token that the service does not know
    kept_in = token_file.keep(mine, typed.strip())
    ask.print({"kept": str(kept_in)}, lambda answer, _: [f"Kept in {answer['kept']}"])
