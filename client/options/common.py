"""Options of many commands, and the reading of what a person types in them."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from typing import Any, TypeVar

import click

from ..asking import PLAIN

F = TypeVar("F", bound=Callable[..., Any])

_RANGE = re.compile(r"\s*([\d./]+)\s*(?:-|–|to)\s*([\d./]+)\s*([A-Za-z]+)\s*")


class Choice(click.Choice[str]):
    """One of a few words, in any case; a space or a dash is an underscore."""

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> str:
        """The word that was meant."""
        by_key = {plain(word): word for word in self.choices}
        return super().convert(by_key.get(plain(value), value), param, ctx)


LAID = Choice(["laminate", "coat", "bond", "pour"])
"""What is laid down."""


class Option(click.Option):
    """An option that is also taken by a name that it had before; help shows the new name alone.

    Args:
        old: the earlier name.
    """

    def __init__(self, *args: Any, old: str, **attributes: Any) -> None:
        super().__init__(*args, **attributes)
        self.old = old

    def add_to_parser(self, parser: Any, ctx: click.Context) -> None:
        """Let the parser know both names."""
        shown, self.opts = self.opts, [*self.opts, self.old]
        try:
            super().add_to_parser(parser, ctx)
        finally:
            self.opts = shown


def plain(word: str) -> str:
    """A word as the service spells it: `Air inhibited` as `air_inhibited`."""
    return "_".join(word.casefold().replace("-", " ").replace("_", " ").split())


def number(text: str) -> float:
    """A plain finite number: a percent, with its sign or without; a share of a mix, a ratio.

    Raises:
        click.BadParameter: the text is no such number.
    """
    try:
        found = float(text.strip().removesuffix("%"))
    except ValueError:
        found = math.nan
    if not math.isfinite(found):
        raise click.BadParameter(f"{text!r} is not a number.")
    return int(found) if found.is_integer() else found


def whole_numbers(text: str) -> tuple[int, ...]:
    """Whole numbers, parted by spaces or commas: '38 41 44'.

    Raises:
        click.BadParameter: one of them is none.
    """
    typed = text.replace(",", " ").split()
    for each in typed or [text]:
        if not each.isdecimal():
            raise click.BadParameter(f"{each!r} is not a whole number.")
    return tuple(map(int, typed))


def bare_number(text: str) -> float:
    """As `number`, of a scale whose unit is the instrument's: a percent sign is refused.

    Raises:
        click.BadParameter: the text is no such number.
    """
    if "%" in text:
        raise click.BadParameter(f"{text!r}: give the number that the instrument shows, alone.")
    return number(text)


def filled(**fields: Any) -> dict[str, Any]:
    """The fields that were given, for a request: those that are neither None nor empty."""
    return {name: value for name, value in fields.items() if value not in (None, "", (), [], {})}


def time_or_range(text: str) -> dict[str, str]:
    """`18 min` as `{"time"}`, `15-20 min` as `{"from", "to"}`."""
    if found := _RANGE.fullmatch(text):
        return {"from": f"{found[1]} {found[3]}", "to": f"{found[2]} {found[3]}"}
    return {"time": text}


def number_or_none(text: str) -> float | None:
    """A number, or None for `-`."""
    return None if text == "-" else number(text)


def plain_option(command: F) -> F:
    """`--plain`: rows for a program."""

    def remember(ctx: click.Context, _param: click.Parameter, plain: bool) -> None:
        ctx.meta[PLAIN] = plain

    return click.option(
        "--plain", is_flag=True, expose_value=False, callback=remember,
        help="Rows for a program: tabs between, nothing cut, ISO moments.",
    )(command)  # fmt: skip


def paged(command: F) -> F:
    """Give a list `--limit`, `--after` and `--plain`."""
    after = click.option("--after", metavar="CURSOR", help="Show the page after this cursor.")
    limit = click.option("--limit", type=click.IntRange(1, 200), help="Rows a page (50).")
    return limit(after(plain_option(command)))


def at_option(help_text: str) -> Callable[[F], F]:
    """`--at`: when it happened; without it, now."""
    return click.option("--at", metavar="TIME", help=f"{help_text} (now).")


def start_at_option(help_text: str) -> Callable[[F], F]:
    """`--start-at`: when a plan begins; without it, now."""
    return click.option(
        "--start-at",
        "start",
        cls=Option,
        old="--start",
        metavar="TIME",
        help=f"{help_text} (now).",
    )


def why_option(command: F) -> F:
    """`--why`: what makes the moments so unsure, and what would help."""
    return click.option(
        "--why", is_flag=True, help="Say what makes the times so unsure, and what would help."
    )(command)


def override_option(command: F) -> F:
    """`--override REASON`: why a refusal is overridden."""
    return click.option(
        "--override", metavar="REASON", help="Override a refusal; the reason is recorded."
    )(command)


def override_body(reason: str | None) -> dict[str, str] | None:
    """An override as the service takes it."""
    return None if reason is None else {"reason": reason}
