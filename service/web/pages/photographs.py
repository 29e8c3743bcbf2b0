"""Photographs by thumb: take one of a job, finding, layup or lot, look at it, take it back."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any, NamedTuple

from flask import Flask, Response, request, url_for

from ...acts.jobs import photographs
from ...acts.jobs.photographs import PhotographView, Thing
from ...acts.jobs.signature import is_signed
from ...acts.stock.lot_name import name_of
from ...acts.wetness import findings
from ...acts.yard import finding, permissions
from ...core.errors import Invalid, NotAllowed, NotFound
from ...store.cure.layups import Layup
from ...store.engine.database import reading
from ...store.photographs import Photograph
from ...store.stock import jobs
from ...store.stock.jobs import Job
from ...store.wetness import Finding
from .. import fields
from ..context.request import hand, now
from ..fields.schemas import Loaded
from ..files import pictures
from ..http import forms
from ..http.bodies import FORM_LIMIT, PICTURE_LIMIT
from ..resources.photographs import image
from . import base

NOT_SO = "not so"
"""Why a photograph is taken back by one tap."""


class PhotographForm(forms.Form):
    """A photograph, and what it shows."""

    too_large = (
        f"The picture is larger than {PICTURE_LIMIT // 2**20} MB.",
        "Take it smaller, or send it from the computer.",
    )
    shows = fields.Text(required=True)

    def with_files(self, read: Loaded) -> Loaded:
        """Its fields, with the picture.

        Raises: Invalid, Busy: as `pictures.read`.
        """
        sent = request.files.get("picture")
        if sent is None or not sent.filename:
            raise Invalid(
                "There is no photograph.", advice="Take one, then keep it.", pointer="/picture"
            )
        picture = pictures.read(sent.stream)
        sent.stream.seek(0)  # a form with a used key is the same form only with the same file
        return read | {"picture": picture}


class NothingForm(forms.Form):
    """A form without fields."""


class Shown(NamedTuple):
    """What stands at the head of a thing's photographs: its title, what it is, its two pages."""

    title: str
    noun: str
    name: str
    here: str
    back: str


def add(app: Flask) -> None:
    """Add these pages to an application."""
    places: tuple[tuple[str, str, Callable[..., Thing]], ...] = (
        ("job", "/jobs/<code:number>", finding.job),
        ("finding", "/jobs/<code:number>/findings/<id:record>", _finding),
        ("layup", "/layups/<id:layup>", finding.layup),
        ("lot", "/lots/<id:lot>", finding.lot),
    )
    for name, place, find in places:
        forms.add_act(
            app,
            f"{place}/photographs",
            f"{name}_photographs",
            base.looks(partial(_show, find)),
            partial(_keep, find),
            PhotographForm,
            most=PICTURE_LIMIT + FORM_LIMIT,
        )
    undo_page = base.looks(show_of)
    forms.add_act(
        app, "/photographs/<id:photograph>/undo", "photograph_undo", undo_page, undo, NothingForm
    )
    app.add_url_rule("/photographs/<id:photograph>.jpg", "photograph_image", show_image)


def show_image(photograph: int) -> Response:
    """A picture, for a person known by a browser's pass."""
    with reading():
        return image(finding.photograph(photograph))


def show_of(photograph: int) -> str:
    """The photographs of the thing that one of them is of."""
    return _page(_thing_of(finding.photograph(photograph)))


def undo(read: Loaded, photograph: int) -> str:
    """Take a photograph back."""
    row = finding.photograph(photograph)
    photographs.take_back_photograph(row, reason=NOT_SO, now=now(), hand=hand())
    return _with_kept(_shown(_thing_of(row)).here, row.id)


def _finding(number: str, record: int) -> Finding:
    return findings.of_job(finding.job(number), record)


def _keep(find: Callable[..., Thing], read: Loaded, **address: Any) -> str:
    of, picture = find(*address.values()), read.pop("picture")
    kept = photographs.keep_photograph(of, **picture.kept, **read, now=now(), hand=hand())
    return _with_kept(_shown(of).here, kept.id) + ("&before=1" if kept.kept_before else "")


def _with_kept(here: str, photograph: int) -> str:
    return f"{here}?kept={photograph}"


def _show(find: Callable[..., Thing], **address: Any) -> str:
    return _page(find(*address.values()))


def _page(of: Thing) -> str:
    """The photographs of something; after one was kept or taken back, that one at first."""
    kept = None if forms.again().refusal else _just_kept(of)
    signed = _is_of_a_signed_job(of)
    return base.sheet(
        "photographs.html",
        **_shown(of)._asdict(),
        photographs=photographs.standing_photographs(of),
        kept=kept,
        before="before" in request.args,
        may_undo=kept is not None and _may_undo(kept),
        signed=signed,
        may_add=base.may_act() and not _is_shut(of, signed),
    )


def _just_kept(of: Thing) -> PhotographView | None:
    """The photograph that the address names, if it is of that thing."""
    try:
        row = finding.photograph(request.args.get("kept", 0, type=int))
    except NotFound:
        return None
    return photographs.show_photograph(row) if _thing_of(row) == of else None


def _may_undo(kept: PhotographView) -> bool:
    if kept.withdrawn is not None:
        return False
    try:
        permissions.may_undo(finding.photograph(kept.id), now(), hand())
    except NotAllowed:
        return False
    return base.may_act()


def _is_shut(of: Thing, signed: bool) -> bool:
    """Whether nothing is kept of it; a form that was open before is shown again as it was sent."""
    if isinstance(of, Layup) and _is_taken_back(of):
        return True
    return signed and forms.again().refusal is None


def _is_of_a_signed_job(of: Thing) -> bool:
    if isinstance(of, Finding):
        of = finding.job(jobs.numbers_of([of.job_id])[of.job_id])
    job = of.job if isinstance(of, Layup) else of
    return isinstance(job, Job) and is_signed(job)


def _is_taken_back(of: Layup) -> bool:
    try:
        finding.must_be_laid(of)
    except Invalid:
        return True
    return False


def _thing_of(row: Photograph) -> Thing:
    if row.job is not None:
        job, shown = finding.job(row.job.number), photographs.show_photograph(row).finding
        return job if shown is None else findings.of_job(job, shown)
    if row.layup_id is not None:
        return finding.layup(row.layup_id)
    return finding.lot(row.lot_id or 0)


def _shown(of: Thing) -> Shown:
    if isinstance(of, Job):
        here, back = (url_for(name, number=of.number) for name in ("job_photographs", "job_page"))
        return Shown(of.title, "job", of.number, here, back)
    if isinstance(of, Finding):
        number = jobs.numbers_of([of.job_id])[of.job_id]
        here = url_for("finding_photographs", number=number, record=of.id)
        return Shown(of.place, "finding", str(of.id), here, url_for("job_page", number=number))
    if isinstance(of, Layup):
        here, back = (url_for(name, layup=of.id) for name in ("layup_photographs", "layup_page"))
        return Shown(of.title, "layup", str(of.id), here, back)
    here, back = (url_for(name, lot=of.id) for name in ("lot_photographs", "lot_page"))
    return Shown(of.number, "lot", name_of(of), here, back)
