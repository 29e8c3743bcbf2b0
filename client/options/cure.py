"""The options of a cure sheet: the lines of a data sheet, or a JSON file."""

from __future__ import annotations

import json
from typing import Any

import click

from ..api import Body
from ..exits import Stopped
from .common import Choice, F, Option, filled, number, number_or_none, time_or_range
from .stored import PRODUCT

STAGES = ("recoat_opens", "recoat_closes", "sandable", "full_cure")

SCALE = Choice(["barcol_934_1", "barcol_935", "shore_d"])
"""The scale of a hardness."""
SURFACES = Choice(["air_inhibited", "waxed", "amine_blush", "plain", "unknown"])

_OPTIONS = (
    click.option("--cure", type=click.File("r", encoding="utf-8"), metavar="FILE",
                 help="The whole cure sheet as JSON; - is stdin."),
    click.option("--mix", type=Choice(["catalysed", "two_part", "one_part"]),
                 help="How it is made to cure."),
    click.option("--parts", nargs=2, type=number, metavar="RESIN HARDENER",
                 help="The mixing ratio of two parts, such as 100 25."),
    click.option("--by", type=Choice(["mass", "volume"]), help="What the ratio measures."),
    click.option("--surface", type=SURFACES, help="What the cured surface is like."),
    click.option("--with", "partners", multiple=True, type=PRODUCT,
                 help="A catalyst or hardener that the sheet is for; may be repeated."),
    click.option("--reference", nargs=2, metavar="TEMP PERCENT",
                 help="The temperature and percent of catalyst of the times below; PERCENT is - "
                 "for two parts."),
    click.option("--gel-time", "gel_times", nargs=3, multiple=True, metavar="TEMP PERCENT TIME",
                 help="A gel time, such as '15 min' or '15-20 min'; may be repeated."),
    click.option("--percent-min", type=number, metavar="PERCENT", help="Least catalyst."),
    click.option("--percent-max", type=number, metavar="PERCENT", help="Most catalyst."),
    click.option("--apply-min", metavar="TEMP", help="Below this it is too cold to lay up."),
    click.option("--cure-min", metavar="TEMP", help="Below this it does not cure."),
    click.option("--temperature-max", metavar="TEMP", help="Above this it is too hot to lay up."),
    click.option("--recoat-opens", metavar="TIME", help="When the next layer can go on."),
    click.option("--recoat-closes", metavar="TIME",
                 help="When the next layer no longer bonds without abrading."),
    click.option("--sandable", metavar="TIME", help="When it can be sanded."),
    click.option("--full-cure", metavar="TIME", help="When it is fully cured."),
    click.option("--gel-mass", metavar="MASS", help="Mass in the test of the gel times (100 g)."),
    click.option("--pot-max", metavar="MASS", help="The largest pot."),
    click.option("--build-max", metavar="LENGTH", help="The thickest layer laid at once."),
    click.option("--wax-percent-min", type=number, metavar="PERCENT", help="Least wax stirred in."),
    click.option("--wax-percent-max", type=number, metavar="PERCENT", help="Most wax stirred in."),
    click.option("--styrene-percent-max", type=number, metavar="PERCENT",
                 help="Most styrene stirred in."),
    click.option("--hardness-min", cls=Option, old="--barcol-min", type=click.IntRange(1, 100),
                 metavar="NUMBER", help="The maker's least hardness of a cured part."),
    click.option("--hardness-scale", type=SCALE, help="The scale of that (Barcol 934-1)."),
    click.option("--post-cure", nargs=3, metavar="TEMP TEMP TIME",
                 help="Post-cure: lowest and highest temperature, and how long in all."),
    click.option("--cures-by", type=Choice(["moisture"]),
                 help="What a one-part product cures by."),
    click.option("--cured-depth", "cured_depths", nargs=4, multiple=True,
                 metavar="DEPTH TIME TEMP PERCENT",
                 help="How deep it cures by moisture in the first so much time, at a temperature "
                 "and humidity; a second one in other air may follow."),
    click.option("--skin-time", metavar="TIME", help="How long it takes to skin in that air."),
    click.option("--post-cure-rise", metavar="DIFFERENCE",
                 help="The most that it may warm in an hour of the post-cure, such as '10 K'."),
)  # fmt: skip


def cure_options(command: F) -> F:
    """Give a command the options of a cure sheet."""
    for option in reversed(_OPTIONS):
        command = option(command)
    return command


def take_cure(given: dict[str, Any]) -> tuple[Any, Body]:
    """Take the options of the cure sheet out of a command's options.

    Returns:
        The whole sheet of the file, or None; and the fields that were typed.

    Raises:
        Stopped: the file is not JSON, or there are both a file and other options.
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


def _typed(given: dict[str, Any]) -> Body:
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
        **_by_moisture(take("cures_by"), take("cured_depths"), take("skin_time")),
        **{
            name: take(name)
            for name in ("wax_percent_min", "wax_percent_max", "styrene_percent_max")
        },
        hardness_min=take("hardness_min"),
        hardness_scale=take("hardness_scale"),
        post_cure=_post_cure(take("post_cure"), take("post_cure_rise")),
        catalyst_percent_min=take("percent_min"),
        catalyst_percent_max=take("percent_max"),
        **{"with": list(take("partners"))},
    )  # fmt: skip


def _reference(typed: tuple[str, str] | None) -> Body:
    if not typed:
        return {}
    return filled(temperature=typed[0], catalyst_percent=number_or_none(typed[1]))


def _by_moisture(
    cures_by: str | None, depths: tuple[tuple[str, str, str, str], ...], skin: str | None
) -> Body:
    """The lines of a cure by moisture: one cured depth, or two in different air."""
    if len(depths) > 2:
        raise click.UsageError("Give one --cured-depth, or two in different air.")
    names = ("cured_depth", "second_depth")
    found: Body = {
        name: {
            "depth": depth, "time": time, "temperature": heat,
            "humidity_percent": number(humidity.strip().removesuffix("%")),
        }
        for name, (depth, time, heat, humidity) in zip(names, depths, strict=False)
    }  # fmt: skip
    by = cures_by or ("moisture" if depths else None)
    return filled(cures_by=by, skin_time=skin, **found)


def _post_cure(typed: tuple[str, str, str] | None, rise: str | None) -> Body:
    return dict(zip(("from", "to", "time"), typed or (), strict=False)) | filled(rise=rise)
