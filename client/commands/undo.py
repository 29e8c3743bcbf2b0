"""`cureyard undo`: take back what one did last to stock, as far as the store still allows."""

from __future__ import annotations

import sys
from typing import Any

import click

from ..api import Answer, at
from ..asking import Ask, asks
from ..exits import FORBIDDEN, Stopped
from ..rendering import pots, stock

LOOKED_AT = 200
"""One's own newest lines among which the last act is looked for."""


@click.command("undo")
@click.option("--yes", is_flag=True, help="Do it without asking.")
@click.option("--not-mixed", is_flag=True, help="It was drawn for a pot, which was never mixed.")
@click.option("--reason", metavar="TEXT", default="undone", help="Why (undone).")
@asks
def command(ask: Ask, yes: bool, not_mixed: bool, reason: str) -> None:
    """Undo the last thing that you did to stock.

    A receipt, draw, return, count or scrap of your own is reversed by a line of its own; the
    mistake stays on record. What was drawn for a pot is taken back only with --not-mixed, all
    of the pot together. What it would undo is said first, and on a terminal you are asked.

    \b
    Example:
      cureyard undo --yes
    """
    lines = last_act(ask.api.get("/v1/movements", mine="true", limit=LOOKED_AT).body["items"])
    if not lines:
        raise Stopped("You did nothing to stock that is not undone.", code=FORBIDDEN)
    for line in lines:
        ask.say(f"To undo: {stock.told(line, ask.view)}")
    batch = lines[0].get("batch")
    if batch is not None and not not_mixed:
        raise Stopped(
            f"That was drawn for pot {batch}.",
            f"If it was never mixed: cureyard undo --not-mixed. If it was: batch observe {batch}.",
        )
    if batch is None and not_mixed:
        raise Stopped("That was drawn for no pot.", "Leave --not-mixed out.")
    if not (yes or _asked(ask)):
        return
    if batch is not None:
        body = {"kind": "not_mixed", "note": reason}
        ask.show(ask.api.post(at("batches", batch, "observations"), body), pots.mixed)
        return
    for line in lines:
        ask.show(_reversed(ask, line, reason), stock.moved)


def last_act(lines: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """The lines of the last act that still stands: one, or all that were written with it.

    Args:
        lines: one's own, newest first.
    """
    gone = {line["reverses"] for line in lines}
    standing = [x for x in lines if x["kind"] != "reversal" and x["id"] not in gone]
    if not standing:
        return []
    first = standing[0]
    if first["kind"] not in ("draw", "scrap"):  # only those are spread over several lots
        return [first]
    names = ("batch",) if first["batch"] is not None else ("recorded_at", "kind", "job", "product")
    return [line for line in standing if all(line[name] == first[name] for name in names)]


def _asked(ask: Ask) -> bool:
    """Whether a person at a terminal wants it.

    Raises:
        Stopped: there is nobody to ask.
    """
    if ask.as_json or not (sys.stdin.isatty() and sys.stderr.isatty()):
        raise Stopped("Nothing was undone: there is nobody to ask.", "With --yes it is done.")
    return click.confirm("Undo it?", err=True)


def _reversed(ask: Ask, line: dict[str, Any], reason: str) -> Answer:
    body = {"kind": "reversal", "reverses": line["id"], "reason": reason}
    return ask.api.post("/v1/movements", body)
