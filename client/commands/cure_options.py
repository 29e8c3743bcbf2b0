"""A cure sheet as it is typed: from a data sheet's lines, or from a JSON file."""

from __future__ import annotations

import json
from typing import Any

import click

from ..exits import Stopped
from ..options import F, filled, number, number_or_none, time_or_range

STAGES = ("recoat_opens", "recoat_closes", "sandable", "full_cure")

SURFACES = click.Choice(["air_inhibited", "waxed", "amine_blush", "plain", "unknown"])

_OPTIONS = (
    click.option("--cure", type=click.File("r", encoding="utf-8"), metavar="FILE",
                 help="The cure sheet as JSON; - is stdin."),
    click.option("--mix", type=click.Choice(["catalysed", "two_part", "one_part"]),
                 help="How it is made to cure."),
    click.option("--parts", nargs=2, type=number, metavar="RESIN HARDENER",
                 help="Of two parts, such as 100 25."),
    click.option("--by", type=click.Choice(["mass", "volume"]), help="What the parts measure."),
    click.option("--surface", type=SURFACES, help="What its face is like when it has cured."),
    click.option("--with", "partners", multiple=True, metavar="CODE",
                 help="A catalyst or hardener that the sheet holds for; may be repeated."),
    click.option("--reference", nargs=2, metavar="TEMP PERCENT",
                 help="What the times below are given at; PERCENT is - for two parts."),
    click.option("--gel-time", "gel_times", nargs=3, multiple=True, metavar="TEMP PERCENT TIME",
                 help="A gel time, such as '15 min' or '15-20 min'; may be repeated."),
    click.option("--percent-min", type=number, metavar="PERCENT", help="Least catalyst."),
    click.option("--percent-max", type=number, metavar="PERCENT", help="Most catalyst."),
    click.option("--apply-min", metavar="TEMP", help="Too cold to lay up below this."),
    click.option("--cure-min", metavar="TEMP", help="Does not cure below this."),
    click.option("--temperature-max", metavar="TEMP", help="Too hot to lay up above this."),
    click.option("--recoat-opens", metavar="TIME", help="The next layer can go on."),
    click.option("--recoat-closes", metavar="TIME", help="It no longer bonds unabraded."),
    click.option("--sandable", metavar="TIME", help="It can be sanded."),
    click.option("--full-cure", metavar="TIME", help="It is cured."),
    click.option("--gel-mass", metavar="MASS", help="Test mass of the gel times (100 g)."),
    click.option("--pot-max", metavar="MASS", help="The biggest pot."),
    click.option("--build-max", metavar="LENGTH", help="The thickest layer in one go."),
    click.option("--barcol-min", type=click.IntRange(1, 100), metavar="BARCOL",
                 help="The maker's least hardness when it is cured."),
    click.option("--post-cure", nargs=3, metavar="TEMP TEMP TIME",
                 help="Heat that it wants, from and to, and how long in all."),
)  # fmt: skip


def cure_options(command: F) -> F:
    """Give a command the options of a cure sheet."""
    for option in reversed(_OPTIONS):
        command = option(command)
    return command


def take_cure(given: dict[str, Any]) -> tuple[Any, dict[str, Any]]:
    """Take the cure sheet's options out of a command's.

    Returns:
        The whole sheet of a file, or None; and what was typed of one, which may be nothing.

    Raises:
        Stopped: a file that is not JSON, or a file and options besides.
    """
    file = given.pop("cure")
    typed = _typed(given)
    if file is None:
        return None, typed
    if typed:
        raise Stopped("--cure FILE is the whole sheet.", "Leave the sheet's other options out.")
    try:
        return json.load(file), {}
    except ValueError as error:
        raise Stopped(f"The cure sheet is not JSON: {error}.", "Mend the file.") from error


def _typed(given: dict[str, Any]) -> dict[str, Any]:
    take = given.pop
    return filled(
        mix=filled(kind=take("mix"), parts=list(take("parts") or ()), by=take("by")),
        surface=take("surface"),
        reference=_reference(take("reference")),
        gel_times=[
            {**_reference((heat, percent)), **time_or_range(time)}
            for heat, percent, time in take("gel_times")
        ],
        milestones=filled(**{stage: take(stage) for stage in STAGES}),
        **{
            name: take(name)
            for name in (
                "apply_min", "cure_min", "temperature_max", "gel_mass", "pot_max", "build_max"
            )
        },
        barcol_min=take("barcol_min"),
        post_cure=_post_cure(take("post_cure")),
        catalyst_percent_min=take("percent_min"),
        catalyst_percent_max=take("percent_max"),
        **{"with": list(take("partners"))},
    )  # fmt: skip


def _reference(typed: tuple[str, str] | None) -> dict[str, Any]:
    if not typed:
        return {}
    return filled(temperature=typed[0], catalyst_percent=number_or_none(typed[1]))


def _post_cure(typed: tuple[str, str, str] | None) -> dict[str, str]:
    return dict(zip(("from", "to", "time"), typed or (), strict=False))
