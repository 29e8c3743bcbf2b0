"""`--need JOB`: an estimate that also becomes the needs of a job, in one step."""

from __future__ import annotations

import click

from ..api import Body, at
from ..asking import Ask, Render
from ..exits import Stopped
from ..rendering import needs
from .common import F, Option
from .stored import JOB, PRODUCT

catalyst_option = click.option(
    "--catalyst", type=PRODUCT, help="Which catalyst or hardener, if there are several."
)


def need_options(command: F) -> F:
    """Give an estimate `--need` and `--needed-on`."""
    by = click.option(
        "--needed-on",
        "by",
        cls=Option,
        old="--by",
        metavar="DATE",
        help="The day of use; only with --need.",
    )
    need = click.option(
        "--need", type=JOB, metavar="JOB", help="Add the amounts to this job's needs."
    )
    return need(by(command))


def work_out(
    ask: Ask,
    estimate: str,
    body: Body,
    render: Render,
    *,
    need: str | None,
    by: str | None,
    if_nothing: str | None = None,
) -> None:
    """Print an estimate; with `need` also add its amounts to that job, and print the job's needs.

    With --json only the last of the two answers is printed.

    Args:
        estimate: its name in the address; body: its request.
        if_nothing: what to say where the estimate rightly takes nothing that a job needs.

    Raises:
        Stopped: the estimate has no amount of a product in the store.
    """
    if by and not need:
        raise click.UsageError("--needed-on is the day of a need: give --need JOB as well.")
    answer = ask.api.post(at("estimates", estimate), body)
    if need is None:
        ask.show(answer, render)
        return
    wanted = [{**each, **({"by": by} if by else {})} for each in answer.body["needs"]]
    if if_nothing and not wanted:
        ask.show(answer, render)
        ask.say(if_nothing)
        return
    if not wanted:
        raise Stopped(
            f"Nothing of it is a product of the store, so job {need} needs nothing more.",
            "Name the products (and an area, where there is one). Nothing was changed.",
        )
    kept = ask.api.post(at("jobs", need, "needs"), {"needs": wanted})
    if not ask.as_json:
        ask.show(answer, render)
        click.echo()
    ask.show(kept, needs.shown)
