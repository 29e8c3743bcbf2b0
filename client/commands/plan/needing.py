"""`--need`: what a sum comes to, kept as what a job needs, in the same step."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

import click

from ...api import at
from ...asking import Ask, Render
from ...exits import Stopped
from ...rendering import needs

F = TypeVar("F", bound=Callable[..., Any])


def need_options(command: F) -> F:
    """Give a sum `--need` and `--by`."""
    by = click.option("--by", metavar="DATE", help="The day of use; wants --need.")
    need = click.option("--need", metavar="JOB", help="Add what it takes to this job's needs.")
    return need(by(command))


def work_out(
    ask: Ask, sum_: str, body: dict[str, Any], render: Render, *, need: str | None, by: str | None,
    otherwise: str | None = None,
) -> None:  # fmt: skip
    """Print a sum; with `need` add what it takes to that job, and print what is short.

    For a program the one answer printed is then the job's needs.

    Args:
        otherwise: what to say where the sum takes nothing that a job needs, and that is no fault.

    Raises:
        Stopped: nothing in the sum is a product of the store.
    """
    if by and not need:
        raise click.UsageError("--by is the day of a need: give --need JOB as well.")
    answer = ask.api.post(at("estimates", sum_), body)
    if need is None:
        ask.show(answer, render)
        return
    wanted = [{**each, **({"by": by} if by else {})} for each in answer.body["needs"]]
    if otherwise and not wanted:
        ask.show(answer, render)
        ask.say(otherwise)
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
