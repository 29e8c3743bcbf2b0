"""`cureyard job`: one piece of work on one craft."""

from __future__ import annotations

import click

from ..api import at
from ..asking import Ask, asks
from ..exits import Forbidden
from ..groups import Noun
from ..options.common import (
    Choice,
    Option,
    at_option,
    filled,
    override_body,
    override_option,
    paged,
)
from ..options.stored import BAY, CLOSED_JOB, JOB, PRODUCT
from ..photographs import keep, photo_options, show_with
from ..rendering import gates, needs, plans, signatures, usage, yard

STRUCTURAL = Choice(["yes", "no", "unknown"])


@click.group("job", cls=Noun)
def command() -> None:
    """Jobs: open, show, set, needs, plan, gates, override, usage, photo, sign, close, reopen."""


@command.command("open")
@click.argument("number")
@click.option("--title", required=True, metavar="TEXT", help="What is to be done.")
@click.option("--craft", required=True, metavar="TEXT", help="The craft that it is done on.")
@click.option("--structural", type=STRUCTURAL, help="Whether the part carries load (unknown).")
@click.option("--authority", metavar="TEXT", help="Whose rules the structure follows.")
@at_option("When it was opened")
@asks
def open_job(ask: Ask, number: str, at: str | None, **fields: str | None) -> None:
    """Open a job.

    \b
    Example:
      cureyard job open 26-014 --title "Stem repair" --craft "sloop Sandpiper"
    """
    body = filled(number=number, at=ask.moment(at), **fields)
    ask.show(ask.api.post("/v1/jobs", body), yard.job_shown)


@command.command("list")
@click.option("--state", type=Choice(["open", "closed"]), help="Only jobs in this state.")
@paged
@asks
def list_jobs(ask: Ask, **query: object) -> None:
    """List jobs.

    \b
    Example:
      cureyard job list --state open
    """
    ask.show_list(ask.api.get("/v1/jobs", **query), yard.jobs_listed)


@command.command("show")
@click.argument("number", type=JOB)
@asks
def show_job(ask: Ask, number: str) -> None:
    """Show one job.

    \b
    Example:
      cureyard job show 26-014
    """
    show_with(ask, at("jobs", number), yard.job_shown)


@command.command("set")
@click.argument("number", type=JOB)
@click.option("--title", metavar="TEXT", help="What is to be done.")
@click.option("--craft", metavar="TEXT", help="The craft that it is done on.")
@click.option("--structural", type=STRUCTURAL, help="Whether the part carries load.")
@click.option("--authority", metavar="TEXT", help="Whose rules the structure follows.")
@asks
def set_job(ask: Ask, number: str, **fields: str | None) -> None:
    """Change a job's title, craft, structure or authority.

    \b
    Example:
      cureyard job set 26-014 --structural yes --authority "the builder's drawings"
    """
    ask.show(ask.api.patch(at("jobs", number), filled(**fields)), yard.job_shown)


@command.command("close")
@click.argument("number", type=JOB)
@click.option("--reason", metavar="TEXT", help="Needed while one of its layups still cures.")
@asks
def close_job(ask: Ask, number: str, reason: str | None) -> None:
    """Close a job; nothing more is booked to it.

    \b
    Example:
      cureyard job close 26-014
    """
    body = filled(state="closed", reason=reason)
    ask.show(ask.api.patch(at("jobs", number), body), yard.job_shown)


@command.command("sign")
@click.argument("number", type=JOB)
@click.option(
    "--leave",
    "left",
    nargs=2,
    multiple=True,
    metavar="ITEM REASON",
    help="Something that stays open, and why; may be repeated.",
)
@asks
def sign_job(ask: Ask, number: str, left: tuple[tuple[str, str], ...]) -> None:
    """Sign a job: it is closed, and nothing more is written to it; this needs a lead.

    It is a yard's record, no certificate. What is still open is refused with the list.

    \b
    Examples:
      cureyard job sign 26-014
      cureyard job sign 26-014 --leave need:1 "for the next boat"
    """
    body = {"left": [{"item": item, "reason": reason} for item, reason in left]}
    ask.show(ask.api.post(at("jobs", number, "signature"), body), yard.job_shown)


@command.command("signature")
@click.argument("number", type=JOB)
@asks
def show_signature(ask: Ask, number: str) -> None:
    """Show what is still open of a job before it is signed, and its signatures.

    \b
    Example:
      cureyard job signature 26-014
    """
    ask.show(ask.api.get(at("jobs", number, "signature")), signatures.shown)


@command.command("reopen")
@click.argument("number", type=CLOSED_JOB)
@click.option("--reason", metavar="TEXT", help="Why it is not done yet.")
@asks
def reopen_job(ask: Ask, number: str, reason: str | None) -> None:
    """Open a job again that was closed too early; this needs a lead.

    Its layups are watched again, and its needs are reserved again. A signature is voided, and
    both stay on record; that needs the reason.

    \b
    Example:
      cureyard job reopen 26-014 --reason "the paint is still to do"
    """
    before = ask.api.get(at("jobs", number)).body
    if before["state"] == "open":
        raise Forbidden(f"Job {number} is open.", "There is nothing to open again.")
    body = filled(state="open", reason=reason)
    ask.show(ask.api.patch(at("jobs", number), body), yard.job_shown)
    if before["signature"]:
        who = before["signature"]["who"]
        ask.say(f"The signature of {who} is voided. Both stay on record.")


@command.command("need")
@click.argument("number", type=JOB)
@click.argument("product", type=PRODUCT)
@click.argument("quantity")
@click.option("--count", type=click.IntRange(1), help="How many pieces of a roll this long.")
@click.option("--needed-on", "by", cls=Option, old="--by", metavar="DATE", help="The day of use.")
@click.option(
    "--replaces",
    type=click.IntRange(1),
    metavar="ID",
    help="The need that this one corrects; a quantity of 0 withdraws it.",
)
@override_option
@asks
def add_need(
    ask: Ask,
    number: str,
    product: str,
    quantity: str,
    count: int | None,
    override: str | None,
    **fields: object,
) -> None:
    """Say what a job will take: it is reserved until it is drawn or the job is closed.

    \b
    Examples:
      cureyard job need 26-014 LAM-PE "6 kg" --needed-on 2026-04-02
      cureyard job need 26-014 MAT-450 "1.4 m" --count 3
    """
    need = filled(product=product, **fields)
    if count is None:
        need["quantity"] = quantity
    else:
        need["pieces"] = [{"length": quantity, "count": count}]
    body = filled(needs=[need], override=override_body(override))
    ask.show(ask.api.post(at("jobs", number, "needs"), body), needs.shown)


@command.command("needs")
@click.argument("number", type=JOB)
@asks
def show_needs(ask: Ask, number: str) -> None:
    """Show a job's needs: what is reserved, what is short, what will be out of date.

    \b
    Example:
      cureyard job needs 26-014
    """
    ask.show(ask.api.get(at("jobs", number, "needs")), needs.shown)


@command.command("plan")
@click.argument("number", type=JOB)
@asks
def show_plan(ask: Ask, number: str) -> None:
    """Show a job's plan; 'cureyard plan days --job' makes it.

    \b
    Example:
      cureyard job plan 26-014
    """
    ask.show(ask.api.get(at("jobs", number, "plan")), plans.shown)


@command.command("gates")
@click.argument("number", type=JOB)
@click.option("--bay", "-b", type=BAY, help="Where the work is (the bay of the last layup).")
@click.option("--spraying", is_flag=True, help="Resin will be sprayed.")
@click.option(
    "--prepared-at",
    "prepared",
    cls=Option,
    old="--prepared",
    metavar="TIME",
    help="When it was abraded and wiped; 'surface note' keeps it.",
)
@click.option("--why", is_flag=True, help="Say whose rule each gate is that does not pass.")
@asks
def show_gates(
    ask: Ask, number: str, bay: str | None, spraying: bool, prepared: str | None, why: bool
) -> None:
    """Show the quality gates before laminating and before moving on: pass, caution or stop.

    \b
    Example:
      cureyard job gates 26-014 --bay SHED --prepared-at 08:30
    """
    query = filled(bay=bay, spraying="true" if spraying else "", prepared_at=ask.moment(prepared))
    answer = ask.api.get(at("jobs", number, "gates"), **query)
    ask.show(answer, gates.with_sources if why else gates.shown)


@command.command("override")
@click.argument("number", type=JOB)
@click.argument("gate")
@click.argument("reason")
@asks
def override_gate(ask: Ask, number: str, gate: str, reason: str) -> None:
    """Override a quality gate of a job for one day; this needs a lead, and stays on record.

    \b
    Example:
      cureyard job override 26-014 humidity "the surveyor agreed"
    """
    body = {"gate": gate, "reason": reason}
    ask.show(ask.api.post(at("jobs", number, "gates"), body), gates.shown)


@command.command("usage")
@click.argument("number", type=JOB)
@asks
def show_usage(ask: Ask, number: str) -> None:
    """Show what a job used: planned and drawn, lots, cost, cure temperature, who did what.

    \b
    Example:
      cureyard job usage 26-014
    """
    ask.show(ask.api.get(at("jobs", number, "usage")), usage.shown)


@command.command("photo")
@click.argument("number", type=JOB)
@photo_options
@asks
def add_photograph(ask: Ask, number: str, files: tuple[str, ...], shows: str) -> None:
    """Keep photographs of a job: JPEG or PNG, made smaller, without what a camera writes in them.

    \b
    Example:
      cureyard job photo 26-014 stem.jpg --shows "the stem as it came"
    """
    keep(ask, at("jobs", number), files, shows)
