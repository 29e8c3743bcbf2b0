"""`cureyard layup`: one thing laid down that must cure before the next."""

from __future__ import annotations

from typing import Any

import click

from ..api import at as path_of
from ..asking import Ask, asks
from ..exits import Forbidden, Stopped
from ..groups import Noun
from ..options.common import (
    LAID,
    Choice,
    Option,
    at_option,
    filled,
    number,
    override_body,
    override_option,
    paged,
    whole_numbers,
    why_option,
)
from ..options.cure import SCALE
from ..options.stored import BATCH, BAY, JOB, LAYUP, PRODUCT
from ..photographs import keep, photo_options, show_with
from ..rendering import layups
from ..rendering.moments import read
from ..withdrawals import last_observation, withdraw_layup, withdraw_observation

COVER = Choice(["none", "peel_ply", "film"])
CONDITIONS = ("thick_enough", "off_edges", "instrument_checked", "wax_off")
finished_option = click.option(
    "--finished-at",
    "finished",
    cls=Option,
    old="--finished",
    metavar="TIME",
    help="When the last of it was laid.",
)


@click.group("layup", cls=Noun)
def command() -> None:
    """Layups that cure: start, show, observe, probe, photo, undo, move, set."""


@command.command("start")
@click.argument("named", nargs=-1, required=True, type=JOB, metavar="[JOB] TITLE")
@click.option(
    "--kind",
    required=True,
    type=LAID,
    help="What is laid down.",
)
@click.option("--bay", "-b", type=BAY, help="Where it lies.")
@click.option(
    "--batch",
    "batches",
    multiple=True,
    type=BATCH,
    help="A pot that went into it, or the code on its label; may be repeated.",
)
@click.option("--product", type=PRODUCT, help="The resin or other product, if there is no pot.")
@click.option("--catalyst", type=PRODUCT, help="The catalyst, if there is no pot.")
@click.option(
    "--percent",
    "catalyst_percent",
    type=number,
    metavar="PERCENT",
    help="The percent of catalyst, if there is no pot.",
)
@click.option("--surface-temperature", metavar="TEMP", help="Temperature of the surface below.")
@click.option("--cover", type=COVER, help="What is laid over it.")
@click.option("--thickness", metavar="LENGTH", help="Its whole thickness.")
@click.option(
    "--tight-width",
    metavar="LENGTH",
    help="Width of a joint between two tight faces (metal, laminate), of what cures by moisture.",
)
@click.option("--over", type=int, metavar="ID", help="The layup that it covers.")
@click.option(
    "--on",
    "over_surface",
    type=Choice(["polystyrene", "old_polyester", "old_epoxy", "unknown"]),
    help="The surface below, if that is no layup: an old hull, a core.",
)
@finished_option
@at_option("When it was begun")
@override_option
@asks
def start_layup(
    ask: Ask,
    named: tuple[str, ...],
    bay: str | None,
    batches: tuple[str, ...],
    at: str | None,
    finished: str | None,
    override: str | None,
    **fields: Any,
) -> None:
    """Record a layup, and say when it gels, when it can be recoated and when it can be sanded.

    Without --batch and --product it is laid of the job's pots that are not laid yet and may
    still be spread. Without JOB and --bay those of 'cureyard use' count.

    \b
    Examples:
      cureyard layup start 26-014 "Inner skin, plies 1-3" --kind laminate --bay SHED --batch 12
      cureyard layup start 26-014 "Inner skin, plies 1-3" --kind laminate --bay SHED
      cureyard layup start 26-014 "Deck joint" --kind bond --bay SHED --product SEAL-1 \\
        --thickness "6 mm"
    """
    *job, title = named
    if len(job) > 1:
        raise click.UsageError("Give JOB and TITLE; a TITLE of several words in quotes.")
    number = ask.needed("job", job[0] if job else None)
    moment = ask.moment(at)
    pots = [ask.batch_id(batch) for batch in batches]
    if not pots and fields["product"] is None:
        pots = _wet_pots(ask, number, moment)
    body = filled(
        **fields,
        job=number,
        title=title,
        bay=ask.needed("bay", bay),
        batches=pots,
        applied_at=moment,
        finished_at=ask.moment(finished),
        override=override_body(override),
    )
    ask.show(ask.api.post("/v1/layups", body), layups.shown)


def _wet_pots(ask: Ask, job: str, moment: str | None) -> list[int]:
    """The job's pots that are not laid, and that may still be wet at a moment.

    Raises:
        Stopped: there are none.
    """
    unlaid = [pot for pot in ask.api.get("/v1/now").body["pots"] if pot["job"] == job]
    at = read(moment) if moment else ask.view.now
    wet = [
        int(pot["id"])
        for pot in unlaid
        if pot["gel_at_latest"] is None or at <= read(pot["gel_at_latest"])
    ]
    if not wet:
        gelled = f" Pot {unlaid[0]['id']} must have gelled by now." if unlaid else ""
        raise Forbidden(
            f"Job {job} has no pot that is not laid yet and may still be spread.{gelled}",
            "Name the pots with --batch, or the product with --product.",
        )
    ask.say(f"Of pot {' and '.join(map(str, sorted(wet)))}: not laid yet.")
    return sorted(wet)


@command.command("list")
@click.option("--job", "-j", type=JOB, help="Only layups of this job.")
@click.option("--bay", "-b", type=BAY, help="Only layups in this bay.")
@click.option("--curing", is_flag=True, default=None, help="Only layups that are still watched.")
@paged
@asks
def list_layups(ask: Ask, **query: Any) -> None:
    """List layups.

    \b
    Example:
      cureyard layup list --job 26-014
    """
    curing = "true" if query.pop("curing") else None
    ask.show_list(ask.api.get("/v1/layups", curing=curing, **query), layups.listed)


@command.command("show")
@click.argument("layup", type=LAYUP)
@why_option
@asks
def show_layup(ask: Ask, layup: str, why: bool) -> None:
    """Show one layup as of now.

    \b
    Examples:
      cureyard layup show 3
      cureyard layup show 3 --why
    """
    budget = "true" if why else None
    show_with(ask, path_of("layups", layup), layups.shown, budget=budget)


@command.command("observe")
@click.argument("layup", type=LAYUP)
@click.argument("kind", metavar="SEEN")
@click.option(
    "--readings",
    cls=Option,
    old="--reading",
    type=whole_numbers,
    multiple=True,
    metavar="NUMBERS",
    help="10 to 30 hardnesses, as '38 41 44': highest and lowest are dropped, the rest averaged.",
)
@click.option(
    "--value",
    type=number,
    metavar="NUMBER",
    help="Or one hardness alone, which accepts no structural part.",
)
@click.option(
    "--film", "films", multiple=True, metavar="LENGTH", help="A wet coat by a gauge; repeat it."
)
@click.option("--scale", type=SCALE, metavar="SCALE", help="Of a hardness (the cure sheet's).")
@click.option(
    "--face", type=Choice(["laminate", "gel_coat"]), metavar="FACE", help="What was read."
)
@click.option(
    "--met",
    multiple=True,
    type=Choice([*CONDITIONS, "all"]),
    metavar="WORD",
    help="What held, as above, or all; may be repeated.",
)
@click.option("--pressure", metavar="PRESSURE", help="Of a bag, below the air.")
@click.option("--absolute", is_flag=True, help="It is absolute, not below the air.")
@click.option(
    "--air-pressure", metavar="PRESSURE", help="The air's own pressure; only with --absolute."
)
@click.option("--note", metavar="TEXT", help="What else there is to say.")
@at_option("When it was seen")
@override_option
@asks
def observe_layup(
    ask: Ask,
    layup: str,
    kind: str,
    value: float | None,
    readings: tuple[tuple[int, ...], ...],
    films: tuple[str, ...],
    scale: str | None,
    face: str | None,
    met: tuple[str, ...],
    pressure: str | None,
    absolute: bool,
    air_pressure: str | None,
    note: str | None,
    at: str | None,
    override: str | None,
) -> None:
    """Note what you saw or felt of a layup; it counts more than the forecast.

    \b
    A hardness counts in full if --met:
      thick_enough        over 1.5 mm
      off_edges           3 mm from edges
      instrument_checked  that day
      wax_off             or no wax

    \b
    SCALE is one of:
      barcol_934_1, barcol_935, shore_d
    FACE is one of:
      laminate, gel_coat

    \b
    SEEN is one of:
      gelled        it no longer flows
      not_gelled    it still flows
      no_transfer   a glove stays clean
      green         acetone, a nail: soft
      thumbnail     a nail leaves no mark
      hardness      --readings or --value
      solvent_wipe  wiped, it stays hard
      wet_film      a coat's, by --film
      blush         an epoxy has a film
      sanded        it was sanded
      covered       the next layer is on
      handed_over   it leaves, hard
      scraped_off   it was taken off again
      bagged        its vacuum bag is on
      bag_off       the bag came off

    \b
    Examples:
      cureyard layup observe 3 gelled --at 10:52
      cureyard layup observe 3 no_transfer
      cureyard layup observe 4 wet_film --film "0.45 mm" --film "0.5 mm" --film "0.48 mm"
      cureyard layup observe 3 hardness --readings "38 41 44 40 36 43 45 39 42 37" --met all
      cureyard layup observe 3 bagged --pressure "850 hPa" --at 10:52
    """
    body = filled(
        kind=kind, value=value, readings=[each for typed in readings for each in typed],
        wet_films=list(films), note=note, at=ask.moment(at),
        scale=scale, face=face, met=list(CONDITIONS if "all" in met else met),
        pressure=pressure, absolute=absolute or None, air_pressure=air_pressure,
        override=override_body(override),
    )  # fmt: skip
    ask.show(ask.api.post(path_of("layups", layup, "observations"), body), layups.shown)


@command.command("undo")
@click.argument("layup", type=LAYUP)
@click.argument("kind", metavar="SEEN", required=False)
@click.option("--reason", metavar="TEXT", default="undone", help="Why (undone).")
@asks
def undo_layup(ask: Ask, layup: str, kind: str | None, reason: str) -> None:
    """Take back a layup that was never laid, or its last observation SEEN.

    The layup below it is watched again. The mistake stays on record.

    \b
    Examples:
      cureyard layup undo 3 --reason "laid for another job"
      cureyard layup undo 2 gelled
    """
    if kind is None:
        withdraw_layup(ask, layup, reason)
        return
    observations = ask.api.get(path_of("layups", layup)).body["observations"]
    seen = last_observation(observations, kind, f"layup {layup}")
    withdraw_observation(ask, "layups", layup, seen, reason)


@command.command("probe")
@click.argument("layup", type=LAYUP)
@click.argument("bays", nargs=-1, required=True, type=BAY, metavar="BAY…")
@click.option("--on-part", is_flag=True, help="They are fixed to the part itself.")
@click.option("--undo", is_flag=True, help="They were named by mistake.")
@click.option("--reason", metavar="TEXT", default="undone", help="Why, with --undo (undone).")
@asks
def probe_layup(
    ask: Ask, layup: str, bays: tuple[str, ...], on_part: bool, undo: bool, reason: str
) -> None:
    """Name the bays whose readings tell a layup's own temperature in its post-cure.

    One to six; the coolest counts. Without any, the bay that it lies in counts.

    \b
    Examples:
      cureyard layup probe 3 TENT --on-part
      cureyard layup probe 3 TENT --undo
    """
    if not undo:
        body = {"bays": list(bays), "on_part": on_part}
        ask.show(ask.api.post(path_of("layups", layup, "probes"), body), layups.shown)
        return
    cure = ask.api.get(path_of("layups", layup)).body["post_cure"] or {}
    named = {probe["bay"].casefold(): probe["id"] for probe in cure.get("probes") or ()}
    for bay in bays:
        if bay.casefold() not in named:
            raise Forbidden(f"{bay} is no probe of layup {layup}.", "Nothing is left to do.")
    for bay in bays:
        path = path_of("layups", layup, "probes", named[bay.casefold()], "withdrawal")
        answer = ask.api.post(path, {"reason": reason})
    ask.show(answer, layups.shown)


@command.command("move")
@click.argument("layup", type=LAYUP)
@click.argument("bay", type=BAY)
@at_option("When it was moved")
@asks
def move_layup(ask: Ask, layup: str, bay: str, at: str | None) -> None:
    """Say that a layup lies in another bay from now on.

    \b
    Example:
      cureyard layup move 3 TENT
    """
    body = filled(bay=bay, moved_at=ask.moment(at))
    ask.show(ask.api.patch(path_of("layups", layup), body), layups.shown)


@command.command("set")
@click.argument("layup", type=LAYUP)
@click.option("--title", metavar="TEXT", help="The layup's title.")
@click.option("--cover", type=COVER, help="What is laid over it.")
@finished_option
@asks
def set_layup(
    ask: Ask, layup: str, title: str | None, cover: str | None, finished: str | None
) -> None:
    """Change a layup's title, its cover or when it was finished.

    \b
    Example:
      cureyard layup set 3 --cover peel_ply
    """
    body = filled(title=title, cover=cover, finished_at=ask.moment(finished))
    if not body:
        raise Stopped("There is nothing to change.", "Name what to set; see --help.")
    ask.show(ask.api.patch(path_of("layups", layup), body), layups.shown)


@command.command("photo")
@click.argument("layup", type=LAYUP)
@photo_options
@asks
def add_photograph(ask: Ask, layup: str, files: tuple[str, ...], shows: str) -> None:
    """Keep photographs of a layup: JPEG or PNG, made smaller, without what a camera writes in them.

    \b
    Example:
      cureyard layup photo 3 taper.jpg core.jpg --shows "taper ground, before ply 1"
    """
    keep(ask, path_of("layups", layup), files, shows)
