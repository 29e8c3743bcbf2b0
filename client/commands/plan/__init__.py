"""`cureyard plan`: the sums of a repair, nothing kept; one sum a file."""

from __future__ import annotations

import click

from ...groups import Late

SUMS = {
    "basic-float": ("basic_float", "Buoyancy of a boat that only has to stay up."),
    "coats": ("coats", "Paint and thinner for coats over an area."),
    "days": ("days", "Which day each layer goes on, so that the whole is done first."),
    "dew": ("dew", "Dew point, and whether a surface is warm enough above it."),
    "fairing": ("fairing", "Filler for a hollow, in coats."),
    "float": ("float", "Foam that keeps a swamped boat up and level."),
    "foam": ("foam", "The kit for a cavity, in lifts."),
    "laminate": ("laminate", "Thickness, fibre and resin of a stack of plies."),
    "plies": ("plies", "How many plies fill a thickness, and what is left over."),
    "pots": ("pots", "How many pots, how big, and when each is mixed."),
    "roll": ("roll", "Where on a roll every ply is cut, and from which roll."),
    "sheets": ("sheets", "Where on a sheet or an offcut every piece is cut."),
    "tabbing": ("tabbing", "A part taped in along a corner, and the putty of its fillet."),
    "taper": ("taper", "What to grind, and every ply to cut, over a hole or along a seam."),
}
"""Each sum's module, and its line in the listing."""


@click.command("plan", cls=Late, table=SUMS, package=__package__)
def command() -> None:
    """Plan a repair: the sums, from the damage to the pots and the days."""
