"""`cureyard plan`: the sums of a repair, nothing kept; one sum a file."""

from __future__ import annotations

import click

from ...groups import Late

SUMS = {
    "dew": ("dew", "Dew point, and whether a surface is warm enough above it."),
}
"""Each sum's module, and its line in the listing."""


@click.command("plan", cls=Late, table=SUMS, package=__package__)
def command() -> None:
    """Plan a repair: the sums, from the damage to the pots and the days."""
