"""`cureyard demo`: a day at an invented yard."""

from __future__ import annotations

import shlex
import tempfile
from datetime import datetime, time, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import click

from ..asking import Ask, Start, asks
from ..demo_yard import series
from ..demo_yard.story import STORY, Step
from ..exits import Faulty, Refused
from ..settings import Settings


@click.command("demo")
@asks
def command(ask: Ask) -> None:
    """Show a day at an invented yard, in a store of its own.

    Every command is shown as a person would type it. The demo makes its own store and deletes
    it at the end; it does not touch yours.

    \b
    Example:
      cureyard demo
    """
    ask.need_no_server("demo")
    from .. import embedded

    with tempfile.TemporaryDirectory(prefix="cureyard-demo-") as folder:
        own = Settings(
            database=str(Path(folder) / "demo.sqlite"), zone=ask.settings.zone, hand="demo"
        )
        try:
            tell(Ask(own, ask.as_json, ask.units), Path(folder))
        finally:
            embedded.close()  # before the folder is deleted
    click.echo("\nThat was an invented yard, in a store that is gone again. Yours: cureyard --help")


def tell(ask: Ask, folder: Path) -> None:
    """Tell the story in a store.

    Args:
        ask: with the settings of an empty store.
        folder: where to write the logger's file.
    """
    filling = _filling(ask, folder)
    for step in STORY:
        line = step.command.strip().format(**filling)
        click.echo(f"\n{_words(step, ask)}$ {line}")
        _run(step, line, ask)


def _filling(ask: Ask, folder: Path) -> dict[str, str]:
    """The values of the story's `{fields}`: dates and temperatures that fit today."""
    now, zone = ask.view.now, ZoneInfo(ask.zone())
    log = folder / "shed-log.csv"
    hours = series.moved(now, zone)
    log.write_text(series.table(hours), encoding="ascii")
    today = now.astimezone(zone).date()
    lunch = datetime.combine(today - timedelta(days=1), time(13), zone)
    return {
        "log": log.as_posix(),
        "surface": f"{hours[-1][1]} degF",
        "yesterday": f"{dict(hours)[lunch]} degF",
        "came": (today - timedelta(days=6)).isoformat(),
        "made": (today - timedelta(days=20)).isoformat(),
        "expired": (today - timedelta(days=30)).isoformat(),
    }


def _words(step: Step, ask: Ask) -> str:
    from ..rendering.columns import wrapped

    return "\n".join([*wrapped(step.words, ask.view.width, "# "), ""]) if step.words else ""


def _run(step: Step, line: str, ask: Ask) -> None:
    from ..main import program

    arguments = shlex.split(line.replace("\\\n", ""))[1:]
    arguments += ["--json"] * ask.as_json + (["--units", ask.units] if ask.units else [])
    try:
        program.main(arguments, standalone_mode=False, obj=Start(given=ask.settings))
    except Refused as refused:
        if refused.slug != step.refused:
            raise
        for text in refused.lines():
            click.echo(text)
    else:
        if step.refused:
            raise Faulty(f"That should have been refused: {step.refused}.")
