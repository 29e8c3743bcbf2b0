"""Jobs: the list, the page that a surveyor reads, and the pieces still to be cut from rolls."""

from __future__ import annotations

from flask import Flask, Response, abort

from ...acts.cure import gates, leak_tests
from ...acts.jobs import job, job_cuts, photographs, sign, usage
from ...acts.jobs.job_cuts import RollCutsView
from ...acts.yard import finding
from ...core.estimates.cut_list import LaidView
from ...store.engine.database import reading
from ..context.request import now, units
from ..drawings.cuts import Bed, draw
from ..resources.estimates.cuts import drawn
from ..resources.jobs import STATES
from . import base, job_now, job_wetness, lists, paper

TALLEST = 150.0
"""The most that a roll is drawn, mm of paper: with its heading it stays on one sheet of A4."""


def add(app: Flask) -> None:
    """Add these pages to an application."""
    app.add_url_rule("/jobs", "jobs_page", base.looks(list_jobs))
    app.add_url_rule("/jobs/<code:number>", "job_page", base.looks(show_job))
    app.add_url_rule("/jobs/<code:number>/cuts", "cuts_page", base.looks(show_cuts))
    app.add_url_rule("/jobs/<code:number>/cuts/<id:lot>.svg", "cuts_drawing", draw_cuts)


def list_jobs() -> str:
    """Jobs, newest first; only open or closed ones if the address says so."""
    state = lists.chosen("state", STATES)
    page = lists.listed(lambda after, limit: job.list_jobs(after, limit, state), "state")
    return base.sheet("jobs.html", jobs=page, state=state, states=STATES)


def show_job(number: str) -> str:
    """What the job waits for; then its record: lots, temperatures of cure, and who did what.

    Paper has the record alone. It is for handing over, and costs are the yard's own business: the
    interface and the program show those.
    """
    row, at = finding.job(number), now()
    used, is_open = usage.usage(row, at), row.closed_at is None
    signed = any(each.voided is None for each in used.signatures)
    return base.sheet(
        "job.html",
        foot=paper.of("job", row.number),
        used=used,
        waits=job_now.job_now(row, used, at) if is_open else None,
        judged=gates.show_gates(row, at) if is_open else None,
        wet=job_wetness.job_wetness(row, at),
        leak_tests=leak_tests.standing_leak_tests(row),
        photographs=photographs.standing_photographs(row),
        signed=signed,
        open=[] if signed else sign.open_items(row, at),
    )


def show_cuts(number: str) -> str:
    """The pieces that the job has still to cut, on the rolls that are kept for it."""
    row = finding.job(number)
    cloths = job_cuts.job_cuts(row, now())
    foot = paper.of("job", row.number)
    return base.sheet("job_cuts.html", foot=foot, job=job.show_job(row), cloths=cloths)


def draw_cuts(number: str, lot: int) -> Response:
    """A drawing of one of those rolls."""
    with reading():
        row = finding.job(number)
        beds = [
            _bed(roll, cloth.width)
            for cloth in job_cuts.job_cuts(row, now())
            for roll in cloth.rolls
            if roll.lot == lot and cloth.width
        ]
        if not beds:
            abort(404)
        return drawn(draw(f"Cuts for job {row.number}", beds, units(), TALLEST))


def _bed(roll: RollCutsView, width: int) -> Bed:
    cuts = [
        LaidView(cut.number, "", "rectangular", cut.length, width, cut.start, 0, turned=False)
        for cut in roll.cuts
    ]
    return Bed(f"Lot {roll.number}/{roll.container}", roll.length, width, cuts)
