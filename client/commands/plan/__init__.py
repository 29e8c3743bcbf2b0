"""`cureyard plan`: a repair's estimates and its chain plan; one of them a file."""

from __future__ import annotations

import click

from ...groups import Lazy

PLANS = {
    "bag": ("bag", "The film, peel ply, breather and tape of a vacuum bag."),
    "basic-float": ("basic_float", "Buoyancy of a boat that only has to stay up."),
    "bedding": ("bedding", "The putty under a part or a core."),
    "coats": ("coats", "Paint and thinner for coats over an area."),
    "cored": ("cored", "What to open around a hole through a cored panel, and what beds the core."),
    "days": ("days", "The day for each layer, so that the whole is done soonest."),
    "dew": ("dew", "Dew point, and whether a surface is warm enough above it."),
    "fairing": ("fairing", "Filler for a hollow, in coats."),
    "float": ("float", "Foam that keeps a swamped boat up and level."),
    "foam": ("foam", "The foam kit for a cavity, in lifts."),
    "laminate": ("laminate", "Thickness, fibre and resin of a stack of plies."),
    "moisture": ("moisture", "When a joint that cures by moisture is cured through."),
    "plies": ("plies", "The number of plies that fill a thickness, and what is left over."),
    "pots": ("pots", "The number and size of the pots, and when to mix each."),
    "roll": ("roll", "Where to cut every ply on a roll, and on which roll."),
    "sheets": ("sheets", "Where to cut every piece on a sheet or an offcut."),
    "tabbing": ("tabbing", "The strips that tape a part in along a corner, and the putty fillet."),
    "taper": ("taper", "What to grind, and every ply to cut, over a hole or along a seam."),
}
"""For each estimate and for the plan its module, and its line in the listing."""


@click.command("plan", cls=Lazy, table=PLANS, package=__package__)
def command() -> None:
    """Plan a repair: what to grind, cut, mix and buy, and on which days."""
