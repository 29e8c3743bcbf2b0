"""`--ply`: a stack of plies as a person types it, in the order laid."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from typing import Any, TypeVar

import click

F = TypeVar("F", bound=Callable[..., Any])

_WEIGHT = re.compile(r"/\s*[A-Za-z]|gsm\s*$", re.IGNORECASE)
_FABRICS = ("mat", "woven", "multidirectional", "unidirectional")


def ply_option(command: F) -> F:
    """Give a command its stack."""
    return click.option(
        "--ply",
        "stack",
        multiple=True,
        nargs=3,
        metavar="WHAT FABRIC COUNT",
        help="WHAT: a product, a dry weight ('450 g/m2') or a cured thickness ('1.05 mm'). "
        f"FABRIC: {', '.join(_FABRICS)}, or '-'. In the order laid; may be repeated.",
    )(command)


def rows(stack: Iterable[tuple[str, str, str]]) -> list[dict[str, Any]]:
    """The stack as the service takes it.

    Raises:
        click.BadParameter: a count that is no whole number.
    """
    return [_row(*each) for each in stack]


def _row(what: str, fabric: str, count: str) -> dict[str, Any]:
    if not re.fullmatch(r"\d{1,9}", count, re.ASCII):
        raise click.BadParameter(f"{count!r} is not a number of plies.", param_hint="--ply")
    named = {} if fabric == "-" else {"fabric": fabric}
    return {_field(what): what, **named, "count": int(count)}


def _field(what: str) -> str:
    if _WEIGHT.search(what):
        return "areal_weight"
    return "thickness" if " " in what.strip() or '"' in what else "product"
