"""Four questions for whoever starts a yard at a terminal, and their answers kept as settings."""

from __future__ import annotations

import json
import sys
from dataclasses import replace
from pathlib import Path
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

import click

from .exits import Stopped
from .settings import Settings, default_file, hand

_WORDS = """\
This makes a new yard, and asks four things. Enter takes what stands in brackets."""


def settled(settings: Settings, file: Path | None = None) -> Settings:
    """The settings, with what a new yard's hand answers; unchanged where nobody is to be asked.

    Asked only at a terminal, where there is neither a settings file nor the store.

    Args:
        file: where the answers are kept; by default the user's own settings file.
    """
    file = file or default_file()
    if file.exists() or not _at_a_terminal() or _has_store(settings):
        return settings
    click.echo(_WORDS, err=True)
    told = _asked(settings)
    _keep(told, file)
    click.echo(f"Kept in {file}; the yard's own are changed by 'cureyard yard set'.\n", err=True)
    return replace(settings, **told)


def _at_a_terminal() -> bool:
    return all(stream.isatty() for stream in (sys.stdin, sys.stdout, sys.stderr))


def _has_store(settings: Settings) -> bool:
    from .door import service_settings

    address = service_settings(settings).database
    return "postgresql:" in address or Path(address.removeprefix("sqlite:///")).exists()


def _asked(settings: Settings) -> dict[str, str]:
    """Each setting that is not set yet, as answered."""
    from .door import service_settings

    usual = service_settings(settings)
    units = click.Choice(["metric", "us"])
    return {
        "zone": settings.zone
        or click.prompt("Time zone of the yard", usual.zone, value_proc=_zone, err=True),
        "units": settings.units or click.prompt("Units", usual.units, type=units, err=True),
        "currency": settings.currency
        or click.prompt("Currency", usual.currency, value_proc=_currency, err=True),
        "hand": settings.hand
        or click.prompt("Your name, beside what you do", hand(settings) or "", err=True),
    }


def _zone(text: str) -> str:
    try:
        return ZoneInfo(text.strip()).key
    except (ZoneInfoNotFoundError, ValueError, OSError) as error:
        raise click.UsageError("there is no such zone; write it as Europe/Lisbon.") from error


def _currency(text: str) -> str:
    code = text.strip().upper()
    if not (len(code) == 3 and code.isascii() and code.isalpha()):
        raise click.UsageError("a currency has three letters, such as EUR.")
    return code


def _keep(told: dict[str, str], file: Path) -> None:
    """Write the settings file; TOML's plain strings are written as JSON's are."""
    lines = [f"{name} = {json.dumps(value)}\n" for name, value in told.items() if value]
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text("".join(lines), encoding="utf-8")
    except OSError as error:
        raise Stopped(f"{file} can't be written: {error.strerror}.") from error
