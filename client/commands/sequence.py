"""`cureyard sequence`: steps that are kept by name, for `plan days`."""

from __future__ import annotations

from typing import Any

import click

from ..api import Body, at
from ..asking import Ask, asks
from ..groups import Noun
from ..options.common import filled, paged
from ..rendering import plans


@click.group("sequence", cls=Noun)
def command() -> None:
    """Steps kept by name for 'plan days': keep, list, show."""


@command.command("keep")
@click.argument("name")
@click.option(
    "--step",
    "steps",
    type=(str, str, str),
    multiple=True,
    required=True,
    metavar="TITLE WHAT TIME",
    help="A step, as described above; repeat it in the order of work.",
)
@click.option("--abrade", metavar="TIME", help="How long abrading takes where a window was missed.")
@asks
def keep_sequence(
    ask: Ask, name: str, steps: tuple[tuple[str, str, str], ...], abrade: str | None
) -> None:
    """Keep steps by NAME; those that had the name before count no longer.

    WHAT is 'work', 'wait', or your own word for a part that cures, such as 'laminate': its
    product is named with each plan.

    \b
    Example:
      cureyard sequence keep INNER-SKIN --abrade "60 min" \\
        --step "Plies 1 to 3" laminate "90 min" --step "Grind flush" work "2 h"
    """
    body = {"name": name, "steps": [_step(*step, abrade) for step in steps]}
    ask.show(ask.api.post("/v1/sequences", body), plans.sequence_shown)


@command.command("list")
@paged
@asks
def list_sequences(ask: Ask, **query: Any) -> None:
    """List the sequences.

    \b
    Example:
      cureyard sequence list
    """
    ask.show_list(ask.api.get("/v1/sequences", **query), plans.sequences_listed)


@command.command("show")
@click.argument("name")
@asks
def show_sequence(ask: Ask, name: str) -> None:
    """Show one sequence.

    \b
    Example:
      cureyard sequence show INNER-SKIN
    """
    ask.show(ask.api.get(at("sequences", name)), plans.sequence_shown)


def _step(title: str, what: str, time: str, abrade: str | None) -> Body:
    if what in ("work", "wait"):
        return {"title": title, "kind": what, what: time}
    return filled(title=title, part=what, work=time, abrade=abrade)
