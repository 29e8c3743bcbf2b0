"""`--ply`: a stack of plies as a person types it. `--taper`: the plies of a taper's answer."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable
from typing import TextIO

import click

from ..answers import Record
from ..api import Body
from ..exits import Stopped
from .common import Choice, F
from .stored import PRODUCT

_WEIGHT = re.compile(r"/\s*[A-Za-z]|gsm\s*$", re.IGNORECASE)
_FABRICS = ("mat", "woven", "multidirectional", "unidirectional")


def ply_option(command: F) -> F:
    """Give a command `--ply`."""
    return click.option(
        "--ply",
        "stack",
        multiple=True,
        nargs=3,
        metavar="WHAT FABRIC COUNT",
        help="WHAT is a product, a dry weight ('450 g/m2') or a cured thickness ('1.05 mm'). "
        f"FABRIC is {', '.join(_FABRICS)}, or '-'. In the order laid; may be repeated.",
    )(command)


resin_option = click.option(
    "--resin", type=PRODUCT, metavar="PRODUCT", help="Whose cured density to use (1.2 kg/L)."
)
surface_option = click.option(
    "--surface", type=Choice(["simple", "complex"]), help="Shape of the part (simple)."
)


def stack_body(stack: Iterable[tuple[str, str, str]]) -> list[Body]:
    """The stack as the service takes it.

    Raises:
        click.BadParameter: a count is no whole number.
    """
    return [_ply(*each) for each in stack]


def _ply(what: str, fabric: str, count: str) -> Body:
    if not re.fullmatch(r"\d{1,9}", count, re.ASCII):
        raise click.BadParameter(f"{count!r} is not a number of plies.", param_hint="--ply")
    named = {} if fabric == "-" else {"fabric": fabric}
    return {_field(what): what, **named, "count": int(count)}


def _field(what: str) -> str:
    if _WEIGHT.search(what):
        return "areal_weight"
    return "thickness" if " " in what.strip() or '"' in what else "product"


def taper_plies(file: TextIO, product: str | None) -> list[Body]:
    """The plies in a taper's answer, for a cut list: those of a product, or all if none is.

    Args:
        file: what `cureyard plan taper --json` printed.

    Raises:
        Stopped: the file is no taper's answer.
    """
    try:
        plies = json.load(file)["plies"]
        own = [p for p in plies if p["name"].casefold() == (product or "").casefold()]
        return [_to_cut(ply) for ply in own or plies]
    except (ValueError, TypeError, KeyError, AttributeError) as error:
        raise Stopped(
            f"{file.name} is no taper's answer.", "Make it with 'cureyard plan taper … --json'."
        ) from error


def _to_cut(ply: Record) -> Body:
    length, width = (f"{ply[side]['value']} {ply[side]['unit']}" for side in ("length", "width"))
    name = f"taper {ply['ply']}"
    return {"shape": ply["shape"], "length": length, "width": width, "name": name}
