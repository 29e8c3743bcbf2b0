"""Jobs: the list, the page that a surveyor reads, and what is still to be cut from rolls."""

from __future__ import annotations

from operator import itemgetter

from flask import Flask, Response, abort

from ...acts.cure import gates
from ...acts.jobs import job as open_job
from ...acts.jobs import job_cuts, usage
from ...acts.yard import finding
from ...store.engine.database import reading
from ..context.request import now, units
from ..drawings.cuts import draw
from ..resources.estimates.cuts import drawn
from ..resources.jobs import STATES
from . import base, lists, paper

TALLEST = 150.0
"""That a roll is drawn, mm of paper: with its heading it stays on one sheet of A4."""


def add(app: Flask) -> None:
    """Put these pages into an application."""
    app.add_url_rule("/jobs", "jobs_page", base.looks(list_jobs))
    app.add_url_rule("/jobs/<code:number>", "job_page", base.looks(show_job))
    app.add_url_rule("/jobs/<code:number>/cuts", "cuts_page", base.looks(show_cuts))
    app.add_url_rule("/jobs/<code:number>/cuts/<id:lot>.svg", "cuts_drawing", draw_cuts)


def list_jobs() -> str:
    """Jobs, newest first; open or closed ones if the address says so."""
    state = lists.chosen("state", STATES)
    page = lists.listed(
        lambda after, limit: open_job.list_jobs(after, limit, state), itemgetter("id")
    )
    return base.sheet("jobs.html", jobs=page, state=state, states=STATES)


def show_job(number: str) -> str:
    """What went into the craft, from which lots, how warm it cured, and by whom.

    What it cost is the yard's own business, and this page is for handing over: costs stay in
    the interface and the program.
    """
    row, at = finding.job(number), now()
    judged = gates.show_gates(row, at) if row.closed_at is None else None
    return base.sheet(
        "job.html", foot=paper.of("job", row.number), used=usage.usage(row, at), judged=judged
    )


def show_cuts(number: str) -> str:
    """What the job has still to cut, on the rolls that are kept for it."""
    row = finding.job(number)
    cloths = job_cuts.job_cuts(row, now())
    job = open_job.show_job(row)
    return base.sheet("job_cuts.html", foot=paper.of("job", row.number), job=job, cloths=cloths)


def draw_cuts(number: str, lot: int) -> Response:
    """One roll of that as a drawing."""
    with reading():
        job = finding.job(number)
        rolls = [
            {
                **roll,
                "width": cloth["width"],
                "heading": f"Lot {roll['number']}/{roll['container']}",
            }
            for cloth in job_cuts.job_cuts(job, now())
            for roll in cloth["rolls"]
            if roll["lot"] == lot and cloth["width"]
        ]
        if not rolls:
            abort(404)
        return drawn(draw(f"Cuts for job {job.number}", rolls, units(), TALLEST))
