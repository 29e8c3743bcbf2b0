"""A filled mix: which filler thickens it, and to which consistency."""

from __future__ import annotations

from typing import Any

import click

from ..api import Body
from .common import Choice, F
from .stored import PRODUCT

CONSISTENCY = Choice(["pours", "sags", "holds_a_ridge", "stays_put"])
"""How a filled mix stands, from thin to thick."""

thickens = click.Tuple([PRODUCT, CONSISTENCY])
"""A filler and a consistency."""


def thickened_option(command: F) -> F:
    """Give an estimate `--consistency`, of the filler that thickens its resin."""
    return click.option(
        "--consistency",
        type=thickens,
        metavar="FILLER WORD",
        help="The filler that thickens the resin, and how far: pours, sags, 'holds a ridge' or "
        "'stays put'.",
    )(command)


def take_thickened(given: dict[str, Any]) -> Body:
    """Take `--consistency` out of a command's options: its two fields of the request."""
    filler, consistency = given.pop("consistency") or (None, None)
    return {"filler": filler, "consistency": consistency}
