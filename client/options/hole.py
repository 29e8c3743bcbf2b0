"""The options of a hole and of the taper around it: its outline, the ratio, whether it carries."""

from __future__ import annotations

import click

from .common import Choice, F, number

_OPTIONS = (
    click.option("--width", metavar="WIDTH", help="Width of the hole; without one it is round."),
    click.option(
        "--shape",
        "hole_shape",
        type=Choice(["round", "oval", "rectangular"]),
        help="Shape of the hole; with a width rectangular, else round.",
    ),
    click.option("--corner", metavar="RADIUS", help="Corner radius of a rectangular hole."),
    click.option(
        "--ratio", type=number, metavar="R", help="Length of the taper to thickness (12)."
    ),
    click.option(
        "--structural",
        type=Choice(["yes", "no", "unknown"]),
        help="Whether the part carries load (unknown).",
    ),
)


def hole_options(command: F) -> F:
    """Give an estimate `--width`, `--shape`, `--corner`, `--ratio` and `--structural`."""
    for option in reversed(_OPTIONS):
        command = option(command)
    return command
