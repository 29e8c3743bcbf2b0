"""`cureyard use`: the job and the bay of commands that name none."""

from __future__ import annotations

import os

import click

from .. import settings
from ..answers import Record
from ..api import at
from ..asking import Ask, asks
from ..options.stored import BAY, JOB
from ..rendering.columns import View, labelled

NONE = "-"


@click.command("use")
@click.option("--job", "-j", type=JOB, help=f"The job; {NONE} for none.")
@click.option("--bay", "-b", type=BAY, help=f"The bay; {NONE} for none.")
@asks
def command(ask: Ask, **given: str | None) -> None:
    """Set the job and the bay of commands that name none, or show them.

    They are kept in your own settings file. CUREYARD_JOB and CUREYARD_BAY come before it. A
    command that uses one says so.

    \b
    Examples:
      cureyard use --job 26-014 --bay SHED
      cureyard use
    """
    changes = {name: value for name, value in given.items() if value is not None}
    for name, value in changes.items():
        if value != NONE:
            ask.api.get(at(f"{name}s", value))
    used: dict[str, str | None] = {name: getattr(ask.settings, name) for name in given}
    if changes:
        kept = {name: None if value == NONE else value for name, value in changes.items()}
        ask.say(f"Kept in {settings.keep(kept)}.")
        for name in kept:
            if (first := os.environ.get(variable := f"CUREYARD_{name.upper()}")) not in (None, ""):
                ask.say(f"{variable} is set, and comes before it: {first}")
                kept[name] = first
        used |= kept
    ask.print(used, _shown)


def _shown(used: Record, view: View) -> list[str]:
    return labelled([(name, value or "none") for name, value in used.items()], view.width)
