"""Four questions to the person who starts a yard at a terminal; the answers become settings."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path

import click

from .exits import Stopped
from .settings import Settings, are_kept, default_file, hand, keep

_ASKED = ("url", "database", "zone", "units", "currency", "hand")
_WORDS = """\
This makes a new yard, and asks four things. Enter takes the answer in brackets."""


def settled(settings: Settings, file: Path | None = None) -> Settings:
    """The settings, completed by the answers to the four questions.

    The questions are asked only at a terminal, and only if no answer to them was kept, and there
    is no store.

    Args:
        file: where the answers are kept; by default the user's own settings file.
    """
    file = file or default_file()
    if are_kept(_ASKED, file) or not _at_a_terminal():
        return settings
    from .embedded import has_store  # late: it imports the service

    if has_store(settings):
        return settings
    click.echo(_WORDS, err=True)
    answers = _asked(settings)
    keep(answers, file)
    click.echo(f"Kept in {file}. 'cureyard yard set' changes the yard's settings.\n", err=True)
    return replace(settings, **answers)


def _at_a_terminal() -> bool:
    return all(stream.isatty() for stream in (sys.stdin, sys.stdout, sys.stderr))


def _asked(settings: Settings) -> dict[str, str]:
    """Every setting: as it is set, or else as answered."""
    from .embedded import service_settings

    usual = service_settings(settings)
    units = click.Choice(["metric", "us"])
    return {
        "zone": settings.zone
        or click.prompt("Time zone of the yard", usual.zone, value_proc=_zone, err=True),
        "units": settings.units or click.prompt("Units", usual.units, type=units, err=True),
        "currency": settings.currency
        or click.prompt("Currency", usual.currency, value_proc=_currency, err=True),
        "hand": settings.hand
        or click.prompt("Your name, recorded with what you do", hand(settings) or "", err=True),
    }


def _zone(text: str) -> str:
    from .embedded import service_settings

    try:
        return str(service_settings(Settings(zone=text.strip())).zone)
    except Stopped as error:
        raise click.UsageError(error.message.removeprefix("CUREYARD_ZONE: ")) from error


def _currency(text: str) -> str:
    code = text.strip().upper()
    if not (len(code) == 3 and code.isascii() and code.isalpha()):
        raise click.UsageError("a currency has three letters, such as EUR.")
    return code
